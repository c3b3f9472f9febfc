"""What every sheet of parts says of the general notes of make, which stand on a sheet of theirs."""

from __future__ import annotations

MAKE_TITLE = "General notes of make"
MAKE_NOTE = "Make it by the general notes of make on sheet 2."
"""They come right after the cover, always."""
