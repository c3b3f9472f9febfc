"""The file of rows: one line of JSON each, written at once, so that nothing made is lost.

A run that is killed in the middle of a line leaves a torn one, which is cut off by the next run.
A line in the middle that cannot be read is passed over, and its design worked out again.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType

from frame3d.errors import OutputError, unwritable
from frame3d.staging.locks import lock
from frame3d.studies.rows.row import Row, row_from, row_line

_BLOCK = 1 << 16


class RowFile:
    """The rows of one folder, for one study at a time.

    Parameters
    ----------
    path : Path
        Made if it is not there; its folder must be.

    Raises
    ------
    OutputError
        If it cannot be opened, or another study has it.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.unread = 0
        """Lines that could not be read, the torn last one too."""
        try:
            self._descriptor = os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND, 0o644)
        except OSError as error:
            raise unwritable(path, error) from error
        fit = False
        try:
            self._take()
            self._mend_end()
            fit = True
        finally:
            if not fit:
                self.close()

    def __enter__(self) -> RowFile:
        """The file, open."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:  # fmt: skip
        """Close it, which lets another study have it."""
        self.close()

    def rows(self) -> Iterator[Row]:
        """Every row in the file, in the order in which they were written."""
        with self.path.open("rb") as file:
            for line in file:
                row = row_from(line)
                if row is None:
                    self.unread += 1
                else:
                    yield row

    def add(self, row: Row) -> None:
        """Write a row at the end, whole or not at all.

        Raises
        ------
        OutputError
            If it cannot be written, as where the disk is full; the file is as it was before.
        """
        size = os.fstat(self._descriptor).st_size
        data = memoryview(row_line(row))
        try:
            while data:
                data = data[os.write(self._descriptor, data) :]
        except OSError as error:
            os.ftruncate(self._descriptor, size)
            raise unwritable(self.path, error) from error

    def close(self) -> None:
        """Close it."""
        if self._descriptor >= 0:
            os.close(self._descriptor)
            self._descriptor = -1

    def _take(self) -> None:
        try:
            taken = lock(self._descriptor)
        except OSError:  # a disk without locks
            return
        if not taken:
            raise OutputError(
                f"another study is writing {self.path}; let it end, or give another folder with "
                "--out"
            )

    def _mend_end(self) -> None:
        """Cut off what stands after the last end of a line."""
        size = os.fstat(self._descriptor).st_size
        end = size
        with self.path.open("rb") as file:
            while end:
                start = max(0, end - _BLOCK)
                file.seek(start)
                found = file.read(end - start).rfind(b"\n")
                if found >= 0:
                    end = start + found + 1
                    break
                end = start
        if end < size:
            os.ftruncate(self._descriptor, end)
            self.unread += 1
