"""The gate in front of every request: right host, right origin, not too large, the password where one is needed.

It also sets the headers that keep a page to itself. It is plain ASGI, so that nothing gets past it.
"""

from __future__ import annotations

import asyncio
import ipaddress
from collections.abc import Awaitable, Callable
from typing import Final
from urllib.parse import quote, urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import HTTPConnection
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.service.entrance import COOKIE, WaitError
from api.service.problems import ApiError, Kind
from api.service.runner.turns import WHO
from api.service.running import Service
from api.service.settings import Limits

__all__ = ["CSP", "Gate", "address_of", "wants_html"]

CSP: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
_HEADERS: Final = {
    "Content-Security-Policy": CSP,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "Cache-Control": "no-store",
}
_SAFE: Final = {"GET", "HEAD", "OPTIONS"}
_FREE: Final = ("/static/", "/enter", "/healthz", "/readyz")
_PASSWORD_CHARACTERS: Final = 200

Answer = Callable[[ApiError, HTTPConnection], Awaitable[Response]]


def wants_html(connection: HTTPConnection) -> bool:
    """Whether it is a browser showing a page, not a program."""
    return not connection.url.path.startswith("/v1") and "text/html" in connection.headers.get("accept", "")


class Gate:
    """ASGI middleware.

    Parameters
    ----------
    app : ASGIApp
        What lies behind.
    service : Service
        The service behind it: its settings, its entrance.
    answer : callable
        Turns an error into a response.
    """

    def __init__(self, app: ASGIApp, *, service: Service, answer: Answer) -> None:
        self.app = app
        self.service = service
        self._settings = service.settings
        self._entrance = service.entrance
        self._porter = service.porter
        self._answer = answer

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        connection = HTTPConnection(scope)
        WHO.set(address_of(connection))

        async def headed(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers.setdefault(name, value)
            await send(message)

        try:
            self._check_address(connection)
            self._check_length(connection.headers)
            if (door := await self._door(connection)) is not None:
                await door(scope, receive, headed)
                return
        except ApiError as error:
            await (await self._answer(error, connection))(scope, receive, headed)
            return
        await self._pass_on(scope, receive, headed, connection)

    async def _pass_on(self, scope: Scope, receive: Receive, send: Send, connection: HTTPConnection) -> None:
        """Run what lies behind, counting the body as it comes in."""
        body = _Body(receive, self._settings.limits)
        begun = False

        async def noted(message: Message) -> None:
            nonlocal begun
            if begun or body.refused is None:  # what is said about half a body isn't what has to be said
                begun = True
                await send(message)

        await self.app(scope, body.next, noted)
        if not begun and body.refused is not None:
            await (await self._answer(body.refused, connection))(scope, receive, send)

    def _check_address(self, connection: HTTPConnection) -> None:
        host = connection.headers.get("host", "")
        name = _host_name(host)
        if not (_is_number(name) or name in self._settings.names):
            detail = f"This service doesn't go by the name {host[:100]!r}; use its address in numbers."
            raise ApiError(kind=Kind.WRONG_HOST, detail=detail)
        if connection.scope["method"] not in _SAFE and not _is_own_origin(connection.headers, host):
            detail = "Another site's page sent this; nothing was done."
            raise ApiError(kind=Kind.FOREIGN_ORIGIN, detail=detail)

    def _check_length(self, headers: Headers) -> None:
        length = headers.get("content-length", "0")
        if length.isdigit() and int(length) > self._settings.limits.body:
            raise _too_large(self._settings.limits)

    async def _door(self, connection: HTTPConnection) -> Response | None:
        """Return the way to the entrance for a browser that has to go there; None for who may come in."""
        path = connection.url.path
        if (
            self._entrance.open
            or path.startswith(_FREE)
            or self._entrance.is_cookie(connection.cookies.get(COOKIE, ""))
        ):
            return None
        if (key := _bearer(connection.headers)) is not None:
            await self._check_key(connection, key)
            return None
        if wants_html(connection) and connection.scope["method"] == "GET":
            return RedirectResponse(f"/enter?then={quote(path)}", status_code=303)
        detail = "Send the shop's password as a key: Authorization: Bearer PASSWORD."
        raise ApiError(
            kind=Kind.PASSWORD_NEEDED, detail=detail, headers={"WWW-Authenticate": 'Bearer realm="tallystick"'}
        )

    async def _check_key(self, connection: HTTPConnection, key: str) -> None:
        try:
            right = await self._porter.is_key(address_of(connection), key)
        except WaitError as error:
            detail = f"Too many wrong keys from here; try again in {error.seconds} s."
            headers = {"Retry-After": str(error.seconds)}
            raise ApiError(kind=Kind.TOO_MANY_TRIES, detail=detail, headers=headers) from None
        if not right:
            raise ApiError(
                kind=Kind.PASSWORD_NEEDED,
                detail="That is not the shop's password.",
                headers={"WWW-Authenticate": 'Bearer realm="tallystick", error="invalid_token"'},
            )


class _Body:
    """A request's body on its way in: counted, and in time.

    Attributes
    ----------
    refused : ApiError or None
        Why no more of it is read.
    """

    def __init__(self, receive: Receive, limits: Limits) -> None:
        self._receive = receive
        self._limits = limits
        self._end = asyncio.get_running_loop().time() + limits.body_seconds
        self._read = 0
        self._whole = False
        self.refused: ApiError | None = None

    async def next(self) -> Message:
        """Return the next piece; once the body is whole, wait for the client to hang up, however long."""
        try:
            async with asyncio.timeout_at(None if self._whole else self._end):
                message = await self._receive()
        except TimeoutError:
            detail = f"A request's body has to come within {self._limits.body_seconds:g} s."
            self.refused = ApiError(kind=Kind.TOO_SLOW, detail=detail, headers={"Connection": "close"})
            raise self.refused from None
        self._whole = not message.get("more_body", False)
        self._read += len(message.get("body", b""))
        if self._read > self._limits.body:
            self.refused = _too_large(self._limits)
            raise self.refused
        return message


def _too_large(limits: Limits) -> ApiError:
    return ApiError(kind=Kind.TOO_LARGE, detail=f"A request has at most {limits.body} bytes.")


def address_of(connection: HTTPConnection) -> str:
    """Return where a request comes from; behind a trusted proxy, what that one says."""
    return connection.client.host if connection.client else ""


def _host_name(host: str) -> str:
    """Return a Host header's name without its port, empty where it is none."""
    if any(character in host for character in "/@?#\\ \t"):
        return ""
    try:
        return urlsplit(f"//{host}").hostname or ""
    except ValueError:
        return ""


def _is_number(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def _is_own_origin(headers: Headers, host: str) -> bool:
    """Whether a request that changes something comes from our own page, or from no page at all."""
    site = headers.get("sec-fetch-site")
    if site is not None and site not in {"same-origin", "none"}:
        return False
    origin = headers.get("origin")
    return origin is None or origin.lower() in {f"http://{host}".lower(), f"https://{host}".lower()}


def _bearer(headers: Headers) -> str | None:
    scheme, _, key = headers.get("authorization", "").partition(" ")
    return key.strip()[:_PASSWORD_CHARACTERS] if scheme.lower() == "bearer" else None
