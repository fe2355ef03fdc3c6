"""What the club keeps: SQLite in the user's data folder, or PostgreSQL by URL. Nothing saved is ever overwritten."""

from courtwright.store.moments import Moments
from courtwright.store.records import Kept, KeptMoment, KeptTrial, Listed, ListedMoment, Revision
from courtwright.store.store import Store

__all__ = ["Kept", "KeptMoment", "KeptTrial", "Listed", "ListedMoment", "Moments", "Revision", "Store"]
