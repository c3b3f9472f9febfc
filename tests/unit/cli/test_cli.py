"""The command line: what is typed, what comes back, and with which status."""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

from frame3d.checks.all_checks import rules

GOOD = """
[profile]
style = "quonset"
width = "14 ft"
ridge_height = "9 ft"
[bays]
count = 2
spacing = "4 ft"
"""


def run(*words: object, folder: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-P", "-m", "frame3d.cli", *map(str, words)]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=120)


@pytest.mark.parametrize("style", ["gothic", "quonset"])
@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_new_design_passes_its_own_check(style: str, units: str, tmp_path: Path) -> None:
    made = run("new", "a.toml", "--style", style, "--units", units, folder=tmp_path)
    assert made.returncode == 0, made.stderr
    checked = run("check", "a.toml", folder=tmp_path)
    assert checked.returncode == 0, checked.stderr
    assert "clear inside" in checked.stdout


def test_new_does_not_write_over_a_file(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text("mine")
    made = run("new", "a.toml", folder=tmp_path)
    assert made.returncode == 2
    assert "exists; give another name" in made.stderr
    assert (tmp_path / "a.toml").read_text() == "mine"


@pytest.mark.parametrize(
    "words, message",
    [
        (["check", "none.toml"], "none.toml"),
        (["build", "none.toml"], "none.toml"),
        (["takeoff", "none.toml"], "none.toml"),
        (["guide", "none.toml"], "none.toml"),
        (["site", "none.toml"], "none.toml"),
        (["takeoff", "a.toml", "--out", "a.toml"], "is a file"),
        (["new", "b.toml", "--style", "tudor"], "is not one of 'quonset', 'gothic'"),
        (["new", "b.toml", "--units", "cubits"], "is not one of"),
        (["new", "no/such/folder/b.toml"], "is not a folder; create it first"),
        (["build", "a.toml", "--out", "a.toml"], "is a file"),
        (["frobnicate"], "frobnicate"),
        (["takeoff", "a.toml", "--out", ""], "the folder name is empty"),
        (["build", "a.toml", "--out", " "], "the folder name is empty"),
        (["check"], "Missing argument 'DESIGN'"),
        (["check", "."], "is a folder; name the design file in it"),
        (["takeoff", "a.toml", "--out", "a.toml/sub"], "is a file"),
        (["serve", "--port", "99999"], "65535"),
        (
            ["site", "a.toml", "--levels", "a.toml"],
            "a.toml, row 1: is empty; the first row must name the columns",
        ),
    ],
)
def test_faults_end_with_status_2_and_no_traceback(words, message, tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(GOOD)
    result = run(*words, folder=tmp_path)
    assert result.returncode == 2
    assert message in result.stderr
    assert "Traceback" not in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["a.toml"]


def test_takeoff_tells_what_to_order(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(GOOD)
    told = run("takeoff", "a.toml", folder=tmp_path)
    assert told.returncode == 0, told.stderr
    for text in ("Bars and boards", "Hardware to buy, with spares", "A hoop as raised", "Cautions"):
        assert text in told.stdout
    assert [path.name for path in tmp_path.iterdir()] == ["a.toml"]


def test_takeoff_as_json_is_nothing_but_json(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(GOOD)
    told = run("takeoff", "a.toml", "--json", "--out", "order", folder=tmp_path)
    assert told.returncode == 0 and told.stderr == ""
    data = json.loads(told.stdout)
    # Three hoops, so six sockets.
    assert data["tables"]["parts"][0]["count"] == 6
    kept = (tmp_path / "order" / "takeoff.json").read_text("utf-8")
    assert kept == told.stdout


@pytest.mark.parametrize("command", ["takeoff", "build"])
def test_faults_of_a_list_name_file_row_and_column(command: str, tmp_path: Path) -> None:
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "mine.csv").write_text("section,length\nNPS 1 STD,long\n")
    (tmp_path / "sub" / "a.toml").write_text(GOOD + '[order]\nstock_file = "mine.csv"\n')
    told = run(command, "sub/a.toml", folder=tmp_path)
    assert told.returncode == 2
    assert "mine.csv: row 2, column length: got 'long', which is not a length" in told.stderr
    (tmp_path / "sub" / "mine.csv").unlink()
    told = run(command, "sub/a.toml", folder=tmp_path)
    assert told.returncode == 2
    assert "a.toml: line 10: order.stock_file: " in told.stderr
    assert "Traceback" not in told.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["sub"]


def test_faults_of_a_design_name_line_and_field(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text(GOOD.replace("14 ft", "14").replace("count", "cuont"))
    result = run("build", "bad.toml", folder=tmp_path)
    assert result.returncode == 2
    assert "bad.toml: line 4: profile.width" in result.stderr
    assert "did you mean" in result.stderr.lower() or "count" in result.stderr
    assert not (tmp_path / "outputs").exists()


def test_contradiction_found_in_the_layout_has_its_line(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text(GOOD + 'length = "9 ft"\n')
    result = run("check", "bad.toml", folder=tmp_path)
    assert result.returncode == 2
    assert "line 9: bays.length" in result.stderr


ERROR = (
    GOOD
    + """
[clearance]
walking_lines = ["0 ft", "6 ft 6 in"]
"""
)


def test_check_ends_with_1_when_it_finds_an_error(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(ERROR)
    result = run("check", "a.toml", folder=tmp_path)
    assert result.returncode == 1, result.stderr
    assert "walk-headroom" in result.stdout
    assert "Required 6'-8\"" in result.stdout
    assert "Source: ADA 404.2.3" in " ".join(result.stdout.split())
    assert "Found: 1 error" in result.stdout
    assert result.stderr == ""
    assert [path.name for path in tmp_path.iterdir()] == ["a.toml"]


def test_check_ends_with_0_when_the_error_is_accepted(tmp_path: Path) -> None:
    accept = '[[accept]]\nrule = "walk-headroom"\nreason = "children only"\n'
    (tmp_path / "a.toml").write_text(ERROR + accept)
    result = run("check", "a.toml", folder=tmp_path)
    assert result.returncode == 0, result.stderr
    assert "Accepted: children only" in result.stdout
    assert "Found: no errors" in result.stdout


@pytest.mark.parametrize(("text", "code"), [(GOOD, 0), (ERROR, 1)])
def test_check_as_json_is_nothing_but_json(text: str, code: int, tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(text)
    result = run("check", "a.toml", "--json", folder=tmp_path)
    assert result.returncode == code, result.stderr
    report = json.loads(result.stdout)
    assert report["counts"]["error"] == code
    assert {finding["severity"] for finding in report["findings"]} <= {"error", "warning", "note"}


def test_faults_as_json_with_status_2(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text(GOOD.replace("14 ft", "14"))
    result = run("check", "bad.toml", "--json", folder=tmp_path)
    assert result.returncode == 2
    (fault,) = json.loads(result.stdout)["faults"]
    assert (fault["where"], fault["line"]) == ("profile.width", 4)
    assert "without a unit" in fault["message"]


def test_rules_lists_every_rule_with_its_source(tmp_path: Path) -> None:
    result = run("rules", folder=tmp_path)
    assert result.returncode == 0
    told = " ".join(result.stdout.split())
    for rule in rules():
        assert rule.name in told
    assert "OSHA" in told and "common practice" in told


COMMANDS = [
    ("--help",), ("rules",), ("check", "a.toml"), ("check", "a.toml", "--json"),
    ("takeoff", "a.toml"), ("site", "a.toml", "--json"), ("new", "b.toml"), ("fields",),
    ("show", "a.toml"),
]  # fmt: skip


def run_into(
    out: int | None, *words: str, folder: Path, err: int = subprocess.PIPE
) -> subprocess.CompletedProcess[str]:
    """Run with standard output going to ``out``; None for closed."""
    return subprocess.run(
        [sys.executable, "-P", "-m", "frame3d.cli", *words], cwd=folder, stdout=out, stderr=err,
        text=True, timeout=120, check=False,
        preexec_fn=(lambda: os.close(1)) if out is None else None,
    )  # fmt: skip


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_output_to_a_full_disk_is_a_fault_of_the_machine(
    words: tuple[str, ...], tmp_path: Path
) -> None:
    (tmp_path / "a.toml").write_text(ERROR)
    with Path("/dev/full").open("w") as full:
        result = run_into(full.fileno(), *words, folder=tmp_path)
    assert result.returncode == 3
    assert result.stderr.splitlines()[-1].startswith("the output was cut short: the disk is full")
    assert "Traceback" not in result.stderr and "Exception" not in result.stderr


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_output_that_nobody_reads_is_the_end_without_a_word(
    words: tuple[str, ...], tmp_path: Path
) -> None:
    """As in ``| head``, once head has gone; 141 is what SIGPIPE would give."""
    (tmp_path / "a.toml").write_text(ERROR)
    reader, writer = os.pipe()
    os.close(reader)
    try:
        result = run_into(writer, *words, folder=tmp_path)
    finally:
        os.close(writer)
    assert (result.returncode, result.stderr) == (141, "")


@pytest.mark.parametrize("words", COMMANDS[1:3], ids=" ".join)
def test_output_that_is_closed_is_told(words: tuple[str, ...], tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(GOOD)
    result = run_into(None, *words, folder=tmp_path)
    assert result.returncode == 3
    assert result.stderr == "nothing can be shown: standard output is closed\n"


def test_faults_that_cannot_be_told_keep_their_status(tmp_path: Path) -> None:
    with Path("/dev/full").open("w") as full:
        for words, code in ((("check", "none.toml"), 2), (("frobnicate",), 2), (("rules",), 0)):
            result = run_into(subprocess.PIPE, *words, folder=tmp_path, err=full.fileno())
            assert result.returncode == code


def test_a_file_that_cannot_be_written_for_want_of_room_has_the_status_of_the_machine(
    tmp_path: Path,
) -> None:
    result = subprocess.run(
        [sys.executable, "-P", "-m", "frame3d.cli", "new", "a.toml"], cwd=tmp_path,
        capture_output=True, text=True, timeout=120, check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100)),
    )  # fmt: skip
    assert result.returncode == 3
    assert result.stderr.startswith("a.toml cannot be written: the file would be larger than")
    assert [*tmp_path.iterdir()] == []


def test_help_shows_commands_in_the_order_of_the_work(tmp_path: Path) -> None:
    """From a new design to the page; sorted by name, help begins with the last but one step."""
    told = run("--help", folder=tmp_path).stdout.partition("Commands:")[2]
    shown = [line.split()[0] for line in told.splitlines() if line.strip()]
    assert shown == [
        "new", "fields", "show", "freeze", "check", "rules", "takeoff", "site", "guide", "loads",
        "build", "compare", "study", "serve", "schema",
    ]  # fmt: skip
