"""The plan as a file: written, read back and checked.

Names are imported when they are first used, so that a plan that is only shown needs no plan file.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from shared.planfile.claims import check_file
    from shared.planfile.read import StatedPlan, read_plan
    from shared.planfile.wire import PlanFile, plan_schema
    from shared.planfile.write import plan_file, write_plan

__all__ = ["PlanFile", "StatedPlan", "check_file", "plan_file", "plan_schema", "read_plan", "write_plan"]

_HOME_OF: Final = {
    "PlanFile": "wire",
    "StatedPlan": "read",
    "check_file": "claims",
    "plan_file": "write",
    "plan_schema": "wire",
    "read_plan": "read",
    "write_plan": "write",
}


def __getattr__(name: str) -> Any:
    if name not in _HOME_OF:
        raise AttributeError(f"module 'shared.planfile' has no attribute {name!r}")
    value = getattr(import_module(f"shared.planfile.{_HOME_OF[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
