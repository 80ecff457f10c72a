"""The API's description: what FastAPI finds out, and what it can't know."""

from __future__ import annotations

from typing import Any, Final

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from api.routes.work.event_models import EVENT_MODELS
from api.service.problems import ProblemBody
from shared.files.job import JobFile

__all__ = ["describe"]

_REF: Final = "#/components/schemas/{model}"
_ABOUT: Final = """\
From a parts list to the provably cheapest steel to buy, and a cut plan for the saw.

Post a job file to `/v1/jobs`; follow it by polling or by server-sent events; fetch the plan.

Every error is a problem as described by RFC 9457, with all that is wrong at once.

Where the service asks for the shop's password, send it as a key: `Authorization: Bearer PASSWORD`.
"""


def describe(app: FastAPI) -> None:
    """Have an app describe itself by OpenAPI, with the job file's schema and every problem it may answer."""

    def openapi() -> dict[str, Any]:
        if app.openapi_schema is None:
            app.openapi_schema = _described(app)
        return app.openapi_schema

    app.openapi = openapi  # type: ignore[method-assign]  # FastAPI's own way to extend it


def _described(app: FastAPI) -> dict[str, Any]:
    document = get_openapi(title=app.title, version=app.version, description=_ABOUT, routes=app.routes)
    schemas = document.setdefault("components", {}).setdefault("schemas", {})
    for model in (JobFile, ProblemBody, *EVENT_MODELS):
        schema = model.model_json_schema(
            ref_template=_REF, mode="serialization" if model is ProblemBody else "validation"
        )
        schemas.update(schema.pop("$defs", {}))
        schemas[model.__name__] = schema
    for unused in ("HTTPValidationError", "ValidationError"):
        schemas.pop(unused, None)
    document["components"]["securitySchemes"] = {
        "key": {"type": "http", "scheme": "bearer", "description": "The shop's password, where the service has one."}
    }
    document["security"] = [{}, {"key": []}]
    for path in document["paths"].values():
        for operation in path.values():
            _describe_problems(operation)
    return document


def _describe_problems(operation: dict[str, Any]) -> None:
    """Say what any operation may answer."""
    responses = operation["responses"]
    if "422" in responses and "application/json" in responses["422"].get("content", {}):
        responses["422"] = _problem("The request's parameters have problems")
    for status, text in {
        "401": "The shop's password is needed",
        "403": "The request comes from another site",
        "421": "The request is addressed to another host",
    }.items():
        responses.setdefault(status, _problem(text))


def _problem(text: str) -> dict[str, Any]:
    schema = {"$ref": _REF.format(model=ProblemBody.__name__)}
    return {"description": text, "content": {"application/problem+json": {"schema": schema}}}
