"""A browser that talks to a service of our own and to nobody else."""

import shutil
from collections.abc import Iterator

import pytest

from tests.served import Served, serving

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]

WAITS = 120_000
"""Milliseconds after which something is said never to come: nothing depends on how busy the machine is."""

KNOWN = ("inline style", "status of 409", "status of 422", "net::ERR_INTERNET_DISCONNECTED")


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("browser")) as running:
        yield running


@pytest.fixture(scope="session")
def chromium() -> Iterator:
    if CHROMIUM is None:
        pytest.skip("the page in a real browser: chromium is missing (on Debian: apt-get install chromium)")
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=WAITS)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def open_page(chromium, served: Served) -> Iterator:
    """Open a page of some width; at the end it must have kept to itself and broken no policy."""
    contexts, complaints = [], []

    def heard(message) -> None:
        # The driver hides the caret for a picture by a style of its own, which the page's policy refuses rightly.
        # A sheet with open questions comes back with status 422, what was overtaken with 409, which the browser notes;
        # and what it is denied while a test has taken its network away.
        if message.type == "error" and not any(known in message.text for known in KNOWN):
            complaints.append(message.text)

    def opened(wide: int = 1280, *, javascript: bool = True, path: str = "/"):
        context = chromium.new_context(
            viewport={"width": wide, "height": 900}, java_script_enabled=javascript, base_url=served.url
        )
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(WAITS)
        page.on("console", heard)
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on(
            "request",
            lambda request: request.url.startswith((served.url, "data:", "blob:")) or complaints.append(request.url),
        )
        page.goto(path)
        return page

    yield opened
    for context in contexts:
        context.close()
    # A request that the page itself gave up for a newer one is noted in two messages; one that failed says sendError.
    for abort in [text for text in complaints if text.startswith("htmx:sendAbort")]:
        complaints.remove(abort)
        complaints.remove(abort.replace("sendAbort", "afterRequest"))
    assert complaints == []
