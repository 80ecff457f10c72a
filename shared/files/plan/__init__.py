"""The plan as a file: written, read back and checked; a plan that is only shown needs none of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.late import handed_out

if TYPE_CHECKING:
    from shared.files.plan.claims import check_file, unproven
    from shared.files.plan.read import StatedPlan, read_plan
    from shared.files.plan.wire import PlanFile, plan_schema
    from shared.files.plan.write import plan_file, write_plan

__all__ = ["PlanFile", "StatedPlan", "check_file", "plan_file", "plan_schema", "read_plan", "unproven", "write_plan"]

__getattr__, __dir__ = handed_out(
    __name__,
    {
        "PlanFile": "wire",
        "StatedPlan": "read",
        "check_file": "claims",
        "plan_file": "write",
        "plan_schema": "wire",
        "read_plan": "read",
        "unproven": "claims",
        "write_plan": "write",
    },
)
