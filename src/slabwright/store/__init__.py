"""What outlives a sitting: every edit of a job, its named versions, settings. SQLite in the job's folder, or PostgreSQL."""

from slabwright.store.database import connected
from slabwright.store.history import Edit, History, Version

__all__ = ["Edit", "History", "Version", "connected"]
