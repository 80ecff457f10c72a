"""Put the application together."""

from __future__ import annotations

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from importlib.metadata import version
from pathlib import Path

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles

from api import errors
from api.openapi import describe
from api.page import comparing, docs, entering, saw
from api.page.rack import count
from api.page.rack import pages as rack
from api.page.sheet import pages
from api.page.work import pages as work
from api.routes import comparison, health, jobs, reading, results, sections
from api.routes.rack import bars as rack_routes
from api.routes.rack import lists as rack_lists
from api.routes.work import events as work_events
from api.routes.work import papers as work_papers
from api.routes.work import replans
from api.routes.work import revise as work_revise
from api.routes.work import works as work_routes
from api.service.gate import Gate
from api.service.running import Service
from api.service.settings import Settings

__all__ = ["create_app"]

_STATIC = Path(__file__).parents[0] / "page" / "static"


def create_app(settings: Settings, preload: Sequence[str] = ()) -> Gate:
    """Make the service.

    Parameters
    ----------
    settings : Settings
        What it is started with.
    preload : sequence of str
        Modules that the caller's main module imports; see `api.service.runner.process.Children`.

    Returns
    -------
    Gate
        An ASGI application, to be run by an ASGI server, in one process.
    """
    service = Service(settings, preload)

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        await service.open()
        yield
        await service.close()

    app = FastAPI(
        title="Tallystick",
        version=version("tallystick"),
        lifespan=lifespan,
        docs_url=None,
        redoc_url=None,
        openapi_url="/v1/openapi.json",
    )
    app.state.service = service
    for router in (
        reading.router,
        jobs.router,
        results.router,
        comparison.router,
        sections.router,
        rack_lists.router,
        work_papers.router,
        rack_routes.router,
        work_routes.router,
        work_events.router,
        work_revise.router,
        replans.router,
        health.router,
        pages.router,
        comparing.router,
        saw.router,
        count.router,
        rack.router,
        work.router,
        entering.router,
        docs.router,
    ):
        app.include_router(router)
    app.mount("/static", StaticFiles(directory=_STATIC), name="static")
    errors.install(app)
    describe(app)
    return Gate(app, service=service, answer=errors.respond)
