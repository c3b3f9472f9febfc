"""Files that the page has made, on a machine that cannot hold them."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from frame3d.errors import DesignFaults, OutputError
from frame3d.web.work import exports as makings

SMALL = '[profile]\nstyle = "quonset"\nwidth = "16 ft"\n[bays]\ncount = 2\nspacing = "4 ft"\n'


def fail_with(error: OSError, told: bool):
    def make(*_words: object) -> None:
        if not told:
            raise error
        raise OutputError("/tmp/hidden cannot be written") from error

    return make


@pytest.mark.parametrize("told", [False, True])
def test_a_full_disk_is_no_fault_of_the_program(tmp_path: Path, monkeypatch, told: bool) -> None:
    full = OSError(errno.ENOSPC, "No space left on device")
    monkeypatch.setitem(makings._MAKERS, "step", fail_with(full, told))
    with pytest.raises(DesignFaults) as found:
        makings.make_file(SMALL, "", "step", str(tmp_path), lambda *_: None)
    (fault,) = found.value.faults
    assert fault.message == "the file cannot be made: on the page's computer the disk is full"


def test_any_other_error_of_the_system_is(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setitem(makings._MAKERS, "step", fail_with(FileNotFoundError(2, "None"), False))
    with pytest.raises(FileNotFoundError):
        makings.make_file(SMALL, "", "step", str(tmp_path), lambda *_: None)
