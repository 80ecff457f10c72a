"""What happens at the saw: a list of events, as a phone kept them while there was no network."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Final

from fastapi import APIRouter, Body
from pydantic import TypeAdapter, ValidationError

from api.routes.common import Served, problems
from api.routes.rack.examples import EVENTS
from api.routes.rack.models import flag_body
from api.routes.rack.reading import length_of
from api.routes.work.event_models import BladeEvent, Event, EventsBody, ShortEvent, SpoiltEvent, TickEvent
from api.routes.work.models import AnswersBody, EventAnswer
from api.routes.work.works import WorkId, book_of
from api.service.problems import ApiError, Fault, Kind, ProblemBody, sendable
from api.service.running import Service
from api.service.shop import asked
from cutting.question.lengths import Unit
from shared.work.rack.bars import bar_name
from shared.work.saw.work import Outcome

__all__ = ["happen", "router"]

router = APIRouter(prefix="/v1/works/{work_id}", tags=["work"])

_EVENT: Final[TypeAdapter[Event]] = TypeAdapter(Event)


@router.post(
    "/events",
    summary="Tell what happened at the saw",
    responses=problems(Kind.BAD_REQUEST, Kind.INVALID_PARAMETERS, Kind.TOO_LARGE, Kind.NOT_FOUND),
)
async def tell(
    service: Served, work_id: WorkId, body: Annotated[EventsBody, Body(openapi_examples={"kept": EVENTS})]
) -> AnswersBody:
    """Tell what happened, in order; each event is answered by itself.

    An event carries a key of its own: told twice, it counts once and gets the first answer again. One that can't be
    has its problem in its answer; those after it are done all the same.
    """
    book = await book_of(service, work_id)
    unit = book.work.job.unit
    answers = [await _answer(service, work_id, unit, body.who, at, event) for at, event in enumerate(body.events)]
    return AnswersBody(version=(await book_of(service, work_id)).work.version, answers=tuple(answers))


async def _answer(  # noqa: PLR0917  one event with where it stands
    service: Service, work_id: str, unit: Unit, who: str, at: int, told: Mapping[str, Any]
) -> EventAnswer:
    where = f"#/events/{at}"
    key = sendable(str(told.get("key", ""))[:100])
    try:
        outcome = await happen(service, work_id, _read(told, where), unit, who, where)
    except ApiError as error:
        return EventAnswer(
            key=key,
            done=False,
            entry=None,
            words=" ".join(fault.detail for fault in error.faults) or error.detail,
            flags=(),
            bars=(),
            repeated=False,
            problem=ProblemBody.model_validate(error.body(f"/v1/works/{work_id}/events")),
        )
    return EventAnswer(
        key=key,
        done=True,
        entry=outcome.entry,
        words=outcome.words,
        flags=tuple(map(flag_body, outcome.flags)),
        bars=tuple(map(bar_name, outcome.bars)),
        repeated=outcome.repeated,
        problem=None,
    )


def _read(told: Mapping[str, Any], where: str) -> Event:
    try:
        return _EVENT.validate_python(dict(told))
    except ValidationError as error:
        faults = tuple(
            Fault(detail=detail["msg"], pointer=where + "".join(f"/{step}" for step in detail["loc"][1:]))
            for detail in error.errors(include_url=False)
        )
        said = "This event can't be understood: " + "; ".join(fault.detail for fault in faults) + "."
        raise ApiError(kind=Kind.INVALID_PARAMETERS, detail=said, faults=faults) from None


async def happen(  # noqa: PLR0917  one event with where it stands
    service: Service, work_id: str, event: Event, unit: Unit, who: str, where: str = "#"
) -> Outcome:
    """Have one event count; raises ApiError where it can't be.

    Parameters
    ----------
    service : Service
        The service.
    work_id : str
        Of which work.
    event : Event
        What happened.
    unit : Unit
        What a bare number in it means.
    who : str
        Who says so.
    where : str
        JSON pointer to it.
    """
    shop = service.shop
    if isinstance(event, TickEvent):
        return await asked(shop.tick, work_id, event.slot, who, event.key, parts=event.parts)
    if isinstance(event, ShortEvent):
        length = length_of(event.length, unit, f"{where}/length")
        return await asked(shop.short, work_id, event.slot, length, who, event.key)
    if isinstance(event, SpoiltEvent):
        left = None if event.left is None else length_of(event.left, unit, f"{where}/left")
        return await asked(shop.spoilt, work_id, event.slot, event.position, who, event.key, left=left)
    if isinstance(event, BladeEvent):
        return await asked(shop.blade, work_id, length_of(event.kerf, unit, f"{where}/kerf"), who, event.key)
    return await asked(shop.undo, event.entry, who, event.key)
