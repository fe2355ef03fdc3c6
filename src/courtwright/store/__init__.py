"""What the club keeps: SQLite in the user's data folder, or PostgreSQL by URL. Nothing saved is ever overwritten."""

from courtwright.store.devices import Devices
from courtwright.store.moments import Moments
from courtwright.store.records import Device, Kept, KeptMoment, KeptTrial, Listed, ListedMoment, OpenCode, Revision
from courtwright.store.runs import Arrived, ListedRun, Runs, Taken
from courtwright.store.store import Store

__all__ = [
    "Arrived",
    "Device",
    "Devices",
    "Kept",
    "KeptMoment",
    "KeptTrial",
    "Listed",
    "ListedMoment",
    "ListedRun",
    "Moments",
    "OpenCode",
    "Revision",
    "Runs",
    "Store",
    "Taken",
]
