"""A place to make files in, from which they are put in place together: all of them or none."""

from frame3d.errors import unwritable
from frame3d.staging.all_or_none import all_or_none, written
from frame3d.staging.folders import StagingFolder, dead_folders, set_up
from frame3d.staging.interrupts import stop_later
from frame3d.staging.journal import SUMMARY, listed_in, relisted
from frame3d.staging.staging_folder import put_in_place, staged, write_text

__all__ = [
    "SUMMARY", "StagingFolder", "dead_folders", "put_in_place", "set_up", "stop_later", "listed_in",
    "all_or_none", "relisted", "unwritable", "staged", "write_text", "written",
]  # fmt: skip
