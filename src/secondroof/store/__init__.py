"""Jobs and their revisions, in one file that only grows."""

from secondroof.store.errors import StoreError
from secondroof.store.exchange import export_job, import_job
from secondroof.store.history import DiffLine, differences
from secondroof.store.jobs import Draft, JobRow, Revision, StaleError, Store
from secondroof.store.place import data_folder, default_store

__all__ = [
    "DiffLine",
    "Draft",
    "JobRow",
    "Revision",
    "StaleError",
    "Store",
    "StoreError",
    "data_folder",
    "default_store",
    "differences",
    "export_job",
    "import_job",
]
