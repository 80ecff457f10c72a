"""Render the templates; everything that isn't marked as safe is escaped."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from markupsafe import Markup, escape
from starlette.requests import HTTPConnection
from starlette.responses import HTMLResponse

from api.service.problems import ApiError

__all__ = ["error_page", "page", "render"]

_ENVIRONMENT: Final = Environment(
    loader=FileSystemLoader(Path(__file__).parent / "templates"),
    autoescape=select_autoescape(default=True),
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


_FRACTION: Final = re.compile(r"(?<![\d/.])(?:(?P<whole>\d+)[ -])?(?P<top>\d{1,3})/(?P<bottom>\d{1,4})(?![\d/])")


def set_fractions(text: str) -> Markup:
    """Set the fractions of a text as fractions: a small numerator over a small denominator, read out as before."""
    done = []
    at = 0
    for found in _FRACTION.finditer(text):
        whole = f"{found['whole']}\u202f" if found["whole"] else ""
        set_one = Markup('<span class="fraction"><sup>{}</sup>\u2044<sub>{}</sub></span>').format(
            found["top"], found["bottom"]
        )
        done += [escape(text[at : found.start()]), escape(whole), set_one]
        at = found.end()
    return Markup("").join([*done, escape(text[at:])])


_ENVIRONMENT.filters["fractions"] = set_fractions


def render(template: str, **values: Any) -> str:
    """Render a template to text."""
    return _ENVIRONMENT.get_template(template).render(**values)


def page(template: str, *, status: int = 200, headers: dict[str, str] | None = None, **values: Any) -> HTMLResponse:
    """Render a template as a response."""
    return HTMLResponse(render(template, **values), status, headers)


def error_page(connection: HTTPConnection, error: ApiError) -> HTMLResponse:
    """Say what went wrong to a person."""
    home = connection.url.path != "/"
    return page("error.html", status=error.kind.status, headers=dict(error.headers), error=error, home=home)
