"""The plan as a file: written, read back and checked."""

from shared.files.plan.claims import check_file
from shared.files.plan.read import StatedPlan, read_plan
from shared.files.plan.wire import PlanFile, plan_schema
from shared.files.plan.write import plan_file, write_plan

__all__ = ["PlanFile", "StatedPlan", "check_file", "plan_file", "plan_schema", "read_plan", "write_plan"]
