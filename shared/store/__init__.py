"""The store: jobs, their plans and the sheets they came from, in a database that survives a power cut."""

from shared.store.database import open_database
from shared.store.jobs import Store
from shared.store.records import JobRecord, NewJob, PlanRecord, State

__all__ = ["JobRecord", "NewJob", "PlanRecord", "State", "Store", "open_database"]
