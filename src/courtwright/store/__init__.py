"""What the club keeps: SQLite in the user's data folder, or PostgreSQL by URL. Nothing saved is ever overwritten."""

from courtwright.store.moments import Moments
from courtwright.store.records import Kept, KeptMoment, KeptTrial, Listed, ListedMoment, Revision
from courtwright.store.runs import Arrived, ListedRun, Runs, Taken
from courtwright.store.store import Store

__all__ = [
    "Arrived",
    "Kept",
    "KeptMoment",
    "KeptTrial",
    "Listed",
    "ListedMoment",
    "ListedRun",
    "Moments",
    "Revision",
    "Runs",
    "Store",
    "Taken",
]
