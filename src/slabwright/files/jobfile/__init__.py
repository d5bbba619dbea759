"""The job file: TOML that states what the builder knows, read into the model and written back with its comments."""

from slabwright.files.jobfile.editing import edited, write_job
from slabwright.files.jobfile.reading import LoadedJob, parse_job, read_job

__all__ = ["LoadedJob", "edited", "parse_job", "read_job", "write_job"]
