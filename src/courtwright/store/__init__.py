"""What the club keeps: SQLite in the user's data folder, or PostgreSQL by URL. Nothing saved is ever overwritten."""

from courtwright.store.records import Kept, KeptTrial, Listed, Revision
from courtwright.store.store import Store

__all__ = ["Kept", "KeptTrial", "Listed", "Revision", "Store"]
