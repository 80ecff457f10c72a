"""What happens at the saw, as devices tell it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, WithJsonSchema

from api.routes.rack.models import LengthText, Who

__all__ = ["EVENT_MODELS", "BladeEvent", "Event", "EventsBody", "ShortEvent", "SpoiltEvent", "TickEvent", "UndoEvent"]

MOST_EVENTS = 500

SlotId = Annotated[int, Field(ge=1, lt=2**31, description="Which stick, by its id.")]


class _Body(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class _Event(_Body):
    key: Annotated[str, Field(min_length=1, max_length=100, pattern=r"^[!-~]+$")] = Field(
        description="Made up by the device, different for every event: told twice, it counts once."
    )


class TickEvent(_Event):
    """A stick is sawn, whole or so far."""

    kind: Literal["tick"]
    slot: SlotId
    parts: int | None = Field(default=None, ge=0, le=10_000, description="Parts sawn so far; left out: all of it.")


class ShortEvent(_Event):
    """A stick is shorter than it should be."""

    kind: Literal["short"]
    slot: SlotId
    length: LengthText


class SpoiltEvent(_Event):
    """A part is spoilt."""

    kind: Literal["spoilt"]
    slot: SlotId
    position: int = Field(ge=1, le=10_000, description="Which part on the stick.")
    left: LengthText | None = Field(default=None, description="What is left of the stick, where that differs.")


class BladeEvent(_Event):
    """The blade takes another width from now on."""

    kind: Literal["blade"]
    kerf: LengthText


class UndoEvent(_Event):
    """Something is taken back."""

    kind: Literal["undo"]
    entry: int = Field(ge=1, lt=2**31)


Event = Annotated[TickEvent | ShortEvent | SpoiltEvent | BladeEvent | UndoEvent, Field(discriminator="kind")]
_ANY_EVENT = {
    "oneOf": [
        {"$ref": f"#/components/schemas/{model.__name__}"}
        for model in (TickEvent, ShortEvent, SpoiltEvent, BladeEvent, UndoEvent)
    ]
}
EVENT_MODELS = (TickEvent, ShortEvent, SpoiltEvent, BladeEvent, UndoEvent)
"""Each kind of event, for the API's description: a list of them is read one by one."""


class EventsBody(_Body):
    """What happened at the saw, in order; each is answered by itself."""

    who: Who = ""
    events: Annotated[
        list[Annotated[dict[str, Any], WithJsonSchema(_ANY_EVENT)]], Field(min_length=1, max_length=MOST_EVENTS)
    ]
