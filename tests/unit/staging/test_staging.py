"""Runs that are killed, at every step on the disk, and what the next run makes of that."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import signal
import stat
import subprocess
import sys
import time
import traceback
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from killed_runs import (
    BUILDS,
    NAMES,
    NEW,
    OLD,
    each_kill,
    finished,
    held,
    hidden,
    killed,
    lay,
    old_build,
    run_build,
    run_guide,
    run_nothing,
    summary,
)

from frame3d.errors import MachineError, OutputError
from frame3d.staging import SUMMARY, put_in_place, staged, stop_later

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="runs are forked and killed")


@pytest.mark.parametrize("after", [run_nothing, run_build])
def test_whenever_a_run_is_killed_the_summary_is_true_and_the_next_puts_it_right(
    tmp_path: Path, after: Callable[[Path], None]
) -> None:
    seen, then = [], []
    for folder in each_kill(tmp_path, run_build):
        seen.append(finished(folder, BUILDS))
        after(folder)
        then.append(finished(folder, BUILDS))
        assert hidden(folder) == []
    # A reader sees, in this order: old, unfinished, new.
    assert seen == sorted(seen, key=["old", None, "new"].index)
    assert seen.count("old") > 10 and seen.count(None) >= 5 and seen.count("new") >= 1
    # From the moment that all is made and noted, it is finished.
    assert then == sorted(then, key=["old", "new"].index)
    assert all(now == "new" for was, now in zip(seen, then, strict=True) if was != "old")
    assert after is run_nothing or "old" not in then


def test_a_run_that_is_killed_while_it_puts_right_is_put_right(tmp_path: Path) -> None:
    """Killed twice: at every third step of the build, and then at every step of the next run."""
    for number, folder in enumerate(each_kill(tmp_path, run_build)):
        if number % 3 or finished(folder, BUILDS) is not None:
            continue
        for step in range(200):
            if not killed(run_nothing, folder, step):
                break
            finished(folder, BUILDS)
        assert finished(folder, BUILDS) == "new"
        assert hidden(folder) == []


def test_files_without_a_summary_mark_that_of_the_build_they_join(tmp_path: Path) -> None:
    guided = {"old": {**OLD, "a.txt": "new", "b.txt": "new"}}
    marked = 0
    for folder in each_kill(tmp_path, run_guide):
        was = json.loads((folder / SUMMARY).read_text())
        marked += "unfinished" in was
        assert set(was["files"]) >= set(OLD)  # or nobody would know what is to go some day
        mixed = held(folder)["a.txt"] != held(folder)["b.txt"]
        assert "unfinished" in was or not mixed
        run_nothing(folder)
        if mixed:
            assert finished(folder, guided) == "old"
        else:
            assert finished(
                folder, {"old": {**OLD, **{n: held(folder)[n] for n in ("a.txt", "b.txt")}}}
            )
        assert held(folder)["a.txt"] == held(folder)["b.txt"]
        assert hidden(folder) == []
    assert marked >= 2


def test_a_killed_run_into_a_new_folder_is_finished(tmp_path: Path) -> None:
    for step in range(400):
        folder = tmp_path / f"{step}" / "out"
        folder.parent.mkdir()
        if not killed(run_build, folder, step):
            break
        was = held(folder) if folder.exists() else {}
        run_nothing(folder)
        now = held(folder) if folder.exists() else {}
        if now:
            assert {name: now.pop(name) for name in NEW} == NEW and set(now) == {SUMMARY}
        assert now or not was
        assert [p.name for p in folder.parent.iterdir() if p.name[0] == "."] == []
    assert step > 15


@contextlib.contextmanager
def fails_at(monkeypatch: pytest.MonkeyPatch, number: int) -> Iterator[list[int]]:
    """``os.replace`` fails at its ``number``-th call, as where another program has a file open."""
    calls, real = [], os.replace

    def replace(source: object, target: object) -> None:
        calls.append(1)
        if len(calls) == number:
            raise PermissionError(13, "Permission denied")
        real(source, target)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", replace)
        yield calls


def test_a_file_that_cannot_be_replaced_leaves_all_as_it_was(tmp_path: Path, monkeypatch) -> None:
    for number in range(1, 100):
        folder = tmp_path / f"{number}" / "out"
        old_build(folder)
        with fails_at(monkeypatch, number) as calls:
            try:
                run_build(folder)
            except OutputError as error:
                assert str(error).startswith(f"{folder} cannot be written: Permission denied")
        assert hidden(folder) == []
        if len(calls) < number:
            break
        assert finished(folder, BUILDS) == "old"
    assert number > 5


def run_failing(folder: Path) -> None:
    with (
        pytest.MonkeyPatch.context() as patch,
        fails_at(patch, 4),
        contextlib.suppress(OutputError),
    ):
        run_build(folder)


def test_a_run_killed_while_it_puts_back_is_put_back(tmp_path: Path) -> None:
    seen = []
    for folder in each_kill(tmp_path, run_failing):
        seen.append(finished(folder, BUILDS))
        run_nothing(folder)
        # Killed before it had failed it is finished; after that nothing is new.
        assert finished(folder, BUILDS) in ("old", "new")
        assert hidden(folder) == []
    assert None in seen and seen[-1] == "old"


def test_what_cannot_be_put_back_waits_for_the_next_run(tmp_path: Path, monkeypatch) -> None:
    folder = tmp_path / "out"
    old_build(folder)
    real, count = os.replace, []

    def replace(source: object, target: object) -> None:
        count.append(target)
        if len(count) >= 4 and Path(str(target)).parent.name != Path(str(source)).parent.name:
            raise PermissionError(13, "Permission denied")
        real(source, target)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", replace)
        with pytest.raises(OutputError, match="now holds files of two runs"):
            run_build(folder)
    assert finished(folder, BUILDS) is None
    run_nothing(folder)
    assert finished(folder, BUILDS) == "old"
    assert hidden(folder) == []


def begun(folder: Path) -> int:
    """A live run that has begun to make files: a process that waits with its staged open."""
    ready, told = os.pipe()
    child = os.fork()
    if not child:
        with staged(folder, NAMES) as staging:
            (staging / "a.txt").write_text("in the making")
            os.write(told, b"x")
            time.sleep(60)
        os._exit(0)
    os.close(told)
    assert os.read(ready, 1) == b"x"
    os.close(ready)
    return child


def end(child: int) -> None:
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)


def test_what_a_live_run_uses_stays_and_what_a_dead_one_left_goes(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    old_build(folder)
    old_build(tmp_path / "other")
    dead, live, other = begun(folder), begun(folder), begun(tmp_path / "other")
    try:
        assert len(hidden(folder)) == 3
        end(dead)
        run_build(folder)
        assert len(hidden(folder)) == 2
        assert len([*tmp_path.glob(".*/made/a.txt")]) == 2
    finally:
        end(live)
        end(other)
    # Whatever its folder was called: what is dead is cleared away.
    run_nothing(folder)
    assert hidden(folder) == []


def test_two_runs_at_once_give_one_or_the_other(tmp_path: Path) -> None:
    """Twelve runs of two kinds into one folder: it is whole, as its summary says."""
    folder = tmp_path / "out"
    old_build(folder)
    children = []
    for number in range(12):
        child = os.fork()
        if not child:
            code = 1
            try:
                with staged(folder, NAMES) as staging:
                    texts = dict.fromkeys(NEW, f"{number}")
                    lay(staging, {**texts, SUMMARY: summary(NEW, f"{number}")})
                    put_in_place(staging, folder, [*NEW, SUMMARY], NAMES)
                code = 0
            except OSError:
                traceback.print_exc()
            finally:
                os._exit(code)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0] * 12
    run = json.loads((folder / SUMMARY).read_text())["run"]
    assert {held(folder)[name] for name in NEW} == {run}
    assert hidden(folder) == []


def test_folders_that_only_look_like_ours_stay(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    old_build(folder)
    lay(
        tmp_path,
        {".out.abcdefgh/lock": "mine", ".cache.settings/lock": "", ".cache.settings/x": "y"},
    )
    os.mkfifo(tmp_path / ".out.pipe1234")
    (tmp_path / ".out.pipe5678").mkdir()
    os.mkfifo(tmp_path / ".out.pipe5678" / "lock")
    (tmp_path / ".out.link1234").symlink_to(tmp_path / ".cache.settings")
    before = sorted(hidden(folder))
    run_build(folder)
    assert sorted(hidden(folder)) == before
    assert (tmp_path / ".cache.settings" / "x").read_text() == "y"


def test_a_note_that_came_from_elsewhere_is_not_followed(tmp_path: Path) -> None:
    """A folder with notes in an archive of somebody's must not move or delete anything."""
    for folder in each_kill(tmp_path, run_build):
        if finished(folder, BUILDS) is None:
            break
    (left,) = folder.parent.glob(".out.*")
    note = json.loads((left / "finish.json").read_text())
    victim = folder.parent / "victim"
    for gone, made, number in (
        (["notes.txt"], [], 1), (["../victim"], [], None), ([], ["../victim"], None),
    ):  # fmt: skip
        victim.write_text("kept")
        (left / "victim").write_text("evil")
        numbers = [number or left.stat().st_ino, folder.stat().st_ino]
        harm = {**note, "gone": gone, "made": made, "before": [], "numbers": numbers}
        (left / "finish.json").write_text(json.dumps(harm))
        run_nothing(folder)
        assert victim.read_text() == "kept"
        assert held(folder)["notes.txt"] == "own"
        assert not left.exists()
        (left / "made").mkdir(parents=True)
        (left / "lock").write_text("frame3d makes files here for out\n")
    # With nothing wrong in it, it would have been followed.
    (left / "made" / "fresh").write_text("new")
    numbers = [left.stat().st_ino, folder.stat().st_ino]
    harm = {**note, "gone": [], "made": ["fresh"], "before": [], "numbers": numbers}
    (left / "finish.json").write_text(json.dumps(harm))
    run_nothing(folder)
    assert held(folder)["fresh"] == "new"


def unfinished(folder: Path) -> None:
    """Leave ``folder`` as a run does that is killed after its first file is in place."""
    for step in range(400):
        old_build(folder)
        assert killed(run_build, folder, step)
        if finished(folder, BUILDS) is None and held(folder)["a.txt"] == "new":
            return
        shutil.rmtree(folder.parent)
    raise AssertionError("never unfinished")


def test_a_folder_that_was_taken_away_meanwhile_is_not_half_made_again(tmp_path: Path) -> None:
    folder = tmp_path / "x" / "out"
    unfinished(folder)
    folder.rename(tmp_path / "elsewhere")
    run_nothing(folder)
    assert [*folder.parent.iterdir()] == []
    unfinished(folder)
    shutil.rmtree(folder)
    folder.mkdir()  # it may well have the number of the old one
    run_nothing(folder)
    assert [*folder.iterdir()] == [] and hidden(folder) == []


def test_a_folder_in_one_of_the_same_name_is_not_taken_for_it(tmp_path: Path) -> None:
    outer = tmp_path / "x" / "out"
    unfinished(outer / "out")
    assert len([*outer.glob(".out.*")]) == 1
    run_nothing(outer)
    assert not (outer / SUMMARY).exists()
    assert finished(outer / "out", BUILDS) is None
    run_nothing(outer / "out")
    assert finished(outer / "out", BUILDS) == "new"
    assert hidden(outer) == []


def test_a_full_disk_is_told_of_the_folder_that_the_user_named(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    old_build(folder)
    with pytest.raises(MachineError) as told, staged(folder, NAMES) as staging:
        try:
            raise OSError(28, "No space left on device", str(staging / "model.step"))
        except OSError as error:
            raise OutputError(f"{staging} cannot be written") from error
    assert str(told.value).startswith(f"{folder} cannot be written: the disk is full; make room")
    assert "close the program" not in str(told.value)
    assert finished(folder, BUILDS) == "old" and hidden(folder) == []


def test_names_as_long_as_they_may_be(tmp_path: Path) -> None:
    """255 bytes, the most that a name may have, in letters of four bytes."""
    folder = tmp_path / ("\N{EAR OF MAIZE}" * 63)
    run_build(folder)
    assert held(folder)["a.txt"] == "new"
    assert [p for p in tmp_path.iterdir()] == [folder]


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_what_ends_a_run_waits_until_it_may(number: signal.Signals) -> None:
    program = (
        "import os, signal, sys\n"
        "from frame3d.staging import stop_later\n"
        "def told(number, frame):\n"
        "    sys.exit(number)\n"
        f"signal.signal({int(number)}, told)\n"
        "with stop_later():\n"
        f"    os.kill(os.getpid(), {int(number)})\n"
        "    sys.stdout.write('done')\n"
        "sys.stdout.write('never')\n"
    )
    run = subprocess.run(
        [sys.executable, "-P", "-c", program], capture_output=True, text=True, timeout=60
    )
    assert (run.stdout, run.returncode) == ("done", number)


def test_handlers_are_as_they_were() -> None:
    before = [signal.getsignal(n) for n in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)]
    with stop_later():
        pass
    assert [signal.getsignal(n) for n in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)] == before


def test_modes_are_those_of_any_new_file(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    run_build(folder)
    plain = tmp_path / "plain"
    plain.write_text("x")
    for name in NEW:
        assert stat.S_IMODE((folder / name).stat().st_mode) == stat.S_IMODE(plain.stat().st_mode)
