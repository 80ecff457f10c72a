"""The plan as a file: written, read back and checked."""

from shared.planfile.claims import check_file
from shared.planfile.read import StatedPlan, read_plan
from shared.planfile.wire import PlanFile, plan_schema
from shared.planfile.write import plan_file, write_plan

__all__ = ["PlanFile", "StatedPlan", "check_file", "plan_file", "plan_schema", "read_plan", "write_plan"]
