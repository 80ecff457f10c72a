"""What the routes share: the service at hand, the client's name, the errors they document."""

from __future__ import annotations

from typing import Annotated, Any, Final, cast

from fastapi import Depends, Header, Path, Request

from api.service.problems import Kind, ProblemBody
from api.service.running import Service

__all__ = ["PROBLEM_JSON", "ClientName", "JobId", "Served", "problems", "service_of"]

PROBLEM_JSON: Final = "application/problem+json"


def service_of(request: Request) -> Service:
    """Return the running service."""
    return cast("Service", request.app.state.service)


def client_of(
    request: Request,
    x_client: Annotated[
        str,
        Header(
            description="A name for the program that asks; waiting solves are served in turn by name and address.",
            max_length=60,
            pattern=r"^[ -~]*$",
        ),
    ] = "",
) -> str:
    """Return who asks, for fairness only."""
    address = request.client.host if request.client else ""
    return f"{address} {x_client}".strip()


Served = Annotated[Service, Depends(service_of)]
ClientName = Annotated[str, Depends(client_of)]
JobId = Annotated[str, Path(description="Name of the job.", min_length=1, max_length=32, examples=["kX3vQ1bT9sLw0aYd"])]


def problems(*kinds: Kind) -> dict[int | str, dict[str, Any]]:
    """Document the problems that a route answers with."""
    found: dict[int | str, dict[str, Any]] = {}
    for kind in kinds:
        entry = found.setdefault(kind.status, {"content": {PROBLEM_JSON: {"schema": _REF}}, "description": ""})
        entry["description"] = "; ".join(filter(None, [entry["description"], kind.title]))
    return found


_REF: Final = {"$ref": f"#/components/schemas/{ProblemBody.__name__}"}
