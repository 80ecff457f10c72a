"""The store: jobs, their plans and sheets, and the shop's memory, in a database that survives a power cut."""

from shared.store.database import open_database
from shared.store.drafts import DraftRecord, Drafts
from shared.store.jobs import InHandError, Store
from shared.store.records import JobRecord, NewJob, PlanRecord, State, WrittenRecord
from shared.store.shop import ShopStore
from shared.store.ways import WayRecord, Ways

__all__ = [
    "DraftRecord",
    "Drafts",
    "InHandError",
    "JobRecord",
    "NewJob",
    "PlanRecord",
    "ShopStore",
    "State",
    "Store",
    "WayRecord",
    "Ways",
    "WrittenRecord",
    "open_database",
]
