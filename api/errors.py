"""Every error as a problem (RFC 9457), or as a page for a browser."""

from __future__ import annotations

import logging
from typing import Any, Final

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, HTTPConnection
from starlette.responses import JSONResponse, Response

from api.page.rendering import error_page
from api.routes.common import PROBLEM_JSON
from api.service.gate import wants_html
from api.service.problems import ApiError, Fault, Kind, not_now
from shared.store.health import PASSING, may_pass, why

__all__ = ["install", "respond"]

_LOG: Final = logging.getLogger("tallystick")
_SAID: Final = {
    400: (Kind.BAD_REQUEST, "The request can't be understood: {detail}"),
    404: (Kind.NOT_FOUND, "There is nothing at this address."),
    405: (Kind.METHOD_NOT_ALLOWED, "This address doesn't take that method; see Allow."),
    413: (Kind.TOO_LARGE, "The request is too large."),
    415: (Kind.UNSUPPORTED_MEDIA_TYPE, "{detail}"),
}


async def respond(error: ApiError, connection: HTTPConnection) -> Response:
    """Turn an error into the response that suits who asked."""
    if wants_html(connection):
        return error_page(connection, error)
    return JSONResponse(
        error.body(connection.url.path), error.kind.status, headers=dict(error.headers), media_type=PROBLEM_JSON
    )


def install(app: FastAPI) -> None:
    """Have every error of an app answered so."""

    async def on_api_error(request: Request, error: Exception) -> Response:
        assert isinstance(error, ApiError)
        return await respond(error, request)

    async def on_http(request: Request, error: Exception) -> Response:
        assert isinstance(error, HTTPException)
        kind, detail = _SAID.get(error.status_code, (Kind.BAD_REQUEST, "{detail}"))
        problem = ApiError(kind=kind, detail=detail.format(detail=error.detail), headers=error.headers or {})
        return await respond(problem, request)

    async def on_parameters(request: Request, error: Exception) -> Response:
        assert isinstance(error, RequestValidationError)
        return await respond(_of_parameters(error), request)

    async def on_store(request: Request, error: Exception) -> Response:
        if not may_pass(error):
            return await on_defect(request, error)
        _LOG.warning("%s %s: %s", request.method, request.url.path, why(error))
        return await respond(not_now(why(error)), request)

    async def on_disconnect(request: Request, _error: Exception) -> Response:
        """Say nothing to somebody who has hung up; that is no error of anybody's."""
        _LOG.debug("%s %s: the client hung up", request.method, request.url.path)
        return Response(status_code=400)

    async def on_defect(request: Request, error: Exception) -> Response:
        _LOG.error("%s %s", request.method, request.url.path, exc_info=error)
        detail = f"Sorry: {type(error).__name__}. The service's log has more."
        return await respond(ApiError(kind=Kind.DEFECT, detail=detail), request)

    app.add_exception_handler(ApiError, on_api_error)
    app.add_exception_handler(HTTPException, on_http)
    app.add_exception_handler(RequestValidationError, on_parameters)
    for kind in PASSING:
        app.add_exception_handler(kind, on_store)
    app.add_exception_handler(ClientDisconnect, on_disconnect)
    app.add_exception_handler(Exception, on_defect)


def _of_parameters(error: RequestValidationError) -> ApiError:
    faults = tuple(_fault(detail) for detail in error.errors())
    names = ", ".join(dict.fromkeys(fault.parameter or "the body" for fault in faults))
    return ApiError(kind=Kind.INVALID_PARAMETERS, detail=f"Something is wrong with {names}.", faults=faults)


def _fault(detail: dict[str, Any]) -> Fault:
    place, *path = detail["loc"]
    text = detail.get("input")
    shown = text[:200] if isinstance(text, str) else None
    if place == "body":
        steps = "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in path)
        return Fault(detail=detail["msg"], pointer=f"#{steps}", text=shown)
    return Fault(detail=detail["msg"], parameter=".".join(str(step) for step in path), text=shown)
