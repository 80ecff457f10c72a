"""The shop's door for browsers: the password by a form, or the code that the terminal shows."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from api.page.rendering import page
from api.routes.common import Served
from api.service.entrance import COOKIE, COOKIE_SECONDS, DEVICE, DEVICE_SECONDS, WaitError
from api.service.gate import address_of
from api.service.running import Service

__all__ = ["router"]

router = APIRouter(include_in_schema=False)


@router.get("/enter")
async def show_door(request: Request, service: Served, then: str = "/", code: str = "") -> Response:
    """Ask for the password; a code that still holds opens at once."""
    if service.entrance.open or (code and service.entrance.is_code(code)):
        return _let_in(request, service, then)
    wrong = "That code has run out; write the password, or scan the new one." if code else ""
    return _door(then, wrong, 403 if code else 200)


@router.post("/enter")
async def enter(
    request: Request,
    service: Served,
    password: Annotated[str, Form(max_length=200)] = "",
    then: Annotated[str, Form(max_length=300)] = "/",
) -> Response:
    """Exchange the password for a cookie."""
    who = service.entrance.device_of(request.cookies.get(DEVICE, "")) or address_of(request)
    try:
        right = await service.porter.is_password(who, password)
    except WaitError as error:
        door = _door(then, f"Too many wrong ones; try again in {error.seconds} s.", 429)
        door.headers["Retry-After"] = str(error.seconds)
        return door
    return _let_in(request, service, then) if right else _door(then, "That is not the shop's password.", 403)


def _door(then: str, wrong: str, status: int) -> HTMLResponse:
    return page("enter.html", status=status, then=then, wrong=wrong)


def _let_in(request: Request, service: Service, then: str) -> Response:
    inside = then.startswith("/") and not then.startswith(("//", "/\\")) and then.isprintable()
    response = RedirectResponse(then if inside else "/", status_code=303)
    given = [(COOKIE, service.entrance.cookie(), COOKIE_SECONDS)]
    if not service.entrance.device_of(request.cookies.get(DEVICE, "")):
        given.append((DEVICE, service.entrance.device(), DEVICE_SECONDS))
    for name, value, seconds in given:
        response.set_cookie(
            name, value, max_age=seconds, httponly=True, samesite="lax", secure=request.url.scheme == "https"
        )
    return response
