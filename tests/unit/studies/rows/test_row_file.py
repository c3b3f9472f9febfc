"""The file of rows: whole lines, torn ones, full disks, two studies at once."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from frame3d.errors import MachineError, OutputError
from frame3d.studies.rows.row import Row, State, row_from, row_line
from frame3d.studies.rows.row_file import RowFile

ROWS = [
    Row(key="a" * 32, state=State.MADE, figures={"mass_kg": 12.5, "fit": True, "cost": None}),
    Row(key="b" * 32, state=State.REFUSED, reason='no arch of that kind: é " \n'),
    Row(key="c" * 32, state=State.FAILED, reason="ended twice"),
]


def read(path: Path) -> tuple[list[Row], int]:
    with RowFile(path) as file:
        return list(file.rows()), file.unread


def test_rows_come_back(tmp_path: Path) -> None:
    path = tmp_path / "rows.jsonl"
    with RowFile(path) as file:
        for row in ROWS:
            file.add(row)
        assert list(file.rows()) == ROWS  # at once, while it is open
    assert read(path) == (ROWS, 0)
    assert path.read_bytes().count(b"\n") == 3


def test_a_torn_last_line_is_cut_off_wherever_it_was_torn(tmp_path: Path) -> None:
    path = tmp_path / "rows.jsonl"
    lines = [row_line(row) for row in ROWS]
    for kept in range(1, len(lines[2])):
        path.write_bytes(lines[0] + lines[1] + lines[2][:kept])
        with RowFile(path) as file:
            file.add(ROWS[2])
            assert file.unread == 1
        assert read(path) == (ROWS, 0)


def test_a_first_line_that_is_torn_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "rows.jsonl"
    path.write_bytes(b'{"key":' + b"x" * 200_000)  # longer than what is read at a time
    assert read(path) == ([], 1)
    assert path.read_bytes() == b""


def test_a_line_that_cannot_be_read_is_passed_over(tmp_path: Path) -> None:
    path = tmp_path / "rows.jsonl"
    path.write_bytes(row_line(ROWS[0]) + b"\0\0\0garbage\n" + row_line(ROWS[1]))
    assert read(path) == (ROWS[:2], 1)
    assert row_from(b'{"key": 3}') is None


def test_a_full_disk_leaves_whole_rows_and_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, real = tmp_path / "rows.jsonl", os.write
    with RowFile(path) as file:
        file.add(ROWS[0])

        def full(descriptor: int, data: bytes) -> int:
            if len(data) > 20:
                return real(descriptor, bytes(data)[:20])
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

        monkeypatch.setattr(os, "write", full)
        with pytest.raises(MachineError, match="the disk is full; make room"):
            file.add(ROWS[1])
        monkeypatch.undo()
        assert path.read_bytes() == row_line(ROWS[0])
        file.add(ROWS[1])
    assert read(path) == (ROWS[:2], 0)


def test_two_studies_cannot_have_one_folder(tmp_path: Path) -> None:
    path = tmp_path / "rows.jsonl"
    with RowFile(path), pytest.raises(OutputError, match="another study is writing"):
        RowFile(path)
    assert read(path) == ([], 0)


def test_a_study_that_was_killed_lets_the_file_go(tmp_path: Path) -> None:
    path = tmp_path / "rows.jsonl"
    program = (
        "import os, signal, sys; from pathlib import Path\n"
        "from frame3d.studies.rows.row_file import RowFile\n"
        "file = RowFile(Path(sys.argv[1])); os.kill(os.getpid(), signal.SIGKILL)"
    )
    run = subprocess.run([sys.executable, "-P", "-c", program, str(path)], check=False, timeout=60)
    assert run.returncode == -9
    assert read(path) == ([], 0)


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="cannot be written"):
        RowFile(tmp_path / "none" / "rows.jsonl")
