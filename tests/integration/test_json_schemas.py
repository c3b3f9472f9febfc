"""Every JSON file that is written is what its schema says, by the jsonschema library.

And nothing is in one that its schema does not tell of.
"""

from __future__ import annotations

import copy
import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest
from msgspec.structs import replace
from typer.testing import CliRunner

from frame3d.building import taken_off
from frame3d.checks.all_checks import check_frame
from frame3d.checks.report import faults_report, report_of, report_text, status_of
from frame3d.cli import app
from frame3d.design.reading.reader import design_from_text
from frame3d.errors import DesignFaults
from frame3d.examples import example_paths
from frame3d.frame.located import laid_out
from frame3d.frame.revisions.comparison import compared
from frame3d.frame.revisions.former import Former
from frame3d.frame.revisions.keeping import kept_marks
from frame3d.frame.revisions.records import records_of
from frame3d.frame.revisions.telling import comparison_text
from frame3d.schemas import Document, document_schema
from frame3d.site.survey import survey_site
from frame3d.site.write.site_files import record_of, record_text
from frame3d.summary import summary_of, summary_text
from frame3d.takeoff.write import records
from frame3d.takeoff.write.part_lists import tables_of

ROOT = Path(__file__).parents[2]
KEPT = ROOT / "tests" / "kept" / "format-1"
TEXTS = {
    **{path.stem: path.read_text("utf-8") for path in example_paths().values()},
    "quonset": (KEPT / "short_quonset_metric.toml").read_text("utf-8"),
    "bare": "[profile]\nstyle = 'quonset'\nwidth = '12 ft'\n[bays]\nlength = '12 ft'\n",
    "straight": "[profile]\nstyle = 'gothic'\nwidth = '6 m'\nridge_height = '3.6 m'\n"
    "rafter_radius = 'straight'\nleg_height = '1.2 m'\n[bays]\nlength = '4 m'\n"
    "[output]\nunits = 'metric'\n[[tie]]\njoint = 'plates'\n[order]\nzinc = 300.0\n"
    "[[machine]]\nname = 'Barrow'\nwidth = '4 m'\nheight = '3 m'\n"
    "[hoop]\nridge_joint = 'plates'\nsplice = 'sleeve'\nsplice_fastener = 'screws'\n",
}


def strict(schema):
    """The schema with nothing allowed that it does not tell of."""
    if isinstance(schema, dict):
        for value in schema.values():
            strict(value)
        if "properties" in schema:
            schema.setdefault("additionalProperties", False)
    elif isinstance(schema, list):
        for value in schema:
            strict(value)
    return schema


VALIDATORS = {
    one: jsonschema.Draft202012Validator(strict(json.loads(document_schema(one))))
    for one in Document
}


def faults(document: Document, text: str) -> list[str]:
    found = json.loads(text)
    assert found["schema"] == document.value
    return [f"{e.json_path}: {e.message[:200]}" for e in VALIDATORS[document].iter_errors(found)]


@pytest.mark.parametrize("document", Document)
def test_it_is_a_schema_and_named_by_its_version(document: Document) -> None:
    schema = json.loads(document_schema(document))
    jsonschema.Draft202012Validator.check_schema(schema)
    assert schema["$id"] == f"urn:frame3d:{document.value}"
    assert '"additionalProperties": false' not in json.dumps(schema)
    printed = CliRunner().invoke(app, ["schema", document.name.lower()])
    assert printed.stdout == document_schema(document)


@pytest.fixture(scope="module", params=TEXTS)
def frame(request):
    return laid_out(design_from_text(TEXTS[request.param]))


def test_summary_findings_order_and_site_are_what_they_say(frame) -> None:
    found = check_frame(frame)
    status = status_of(found)
    assert faults(Document.FINDINGS, report_text(report_of(frame, found))) == []
    summary = summary_of(frame, status, findings=("one",), files=("a.txt",))
    assert faults(Document.SUMMARY, summary_text(summary)) == []
    # Since a build that had a part more, and one without a part that there is now.
    parts = records_of(frame)
    former = Former(revision="A", parts=parts[1:], retired=(replace(parts[0], mark="S99"),))
    later = summary_text(summary_of(kept_marks(frame, former), status))
    assert faults(Document.SUMMARY, later) == []
    assert faults(Document.COMPARISON, comparison_text(compared(frame, frame))) == []
    order = taken_off(frame)
    text = records.record_text(records.record_of(order, tables_of(order)))
    assert faults(Document.TAKEOFF, text) == []
    site = record_text(record_of(survey_site(frame, status=status)))
    assert faults(Document.SITE, site) == []


def test_an_order_with_prices_and_stock(tmp_path: Path) -> None:
    """By the lists that the README tells of."""
    shutil.copy(example_paths()["long_meadow_gothic"], tmp_path / "a.toml")
    lists = re.findall(r"```csv\n(.*?)```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL)
    (tmp_path / "stock.csv").write_text(next(one for one in lists if "owned" in one))
    text = (tmp_path / "a.toml").read_text() + '\n[order]\nstock_file = "stock.csv"\n'
    frame = laid_out(design_from_text(text, folder=tmp_path))
    order = taken_off(frame)
    text = records.record_text(records.record_of(order, tables_of(order)))
    assert faults(Document.TAKEOFF, text) == []
    assert json.loads(text)["cost"]["total"] is not None


def test_a_site_with_everything_that_was_measured(tmp_path: Path) -> None:
    lists = re.findall(r"```csv\n(.*?)```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL)
    given = {}
    for name, head in (("levels", "rock"), ("measured", "distance"), ("built", '"z, ft"')):
        given[name] = tmp_path / f"{name}.csv"
        given[name].write_text(next(one for one in lists if head in one.splitlines()[0]))
    frame = laid_out(design_from_text(TEXTS["long_meadow_gothic"]))
    for chosen in ([name] for name in given):
        site = survey_site(frame, **{name: given[name] for name in chosen})
        assert faults(Document.SITE, record_text(record_of(site))) == []
    site = survey_site(frame, **given)
    text = record_text(record_of(site))
    assert faults(Document.SITE, text) == []
    assert {"drive", "distances", "corners", "tops", "hoops"} <= set(json.loads(text)["tables"])


def test_a_site_on_a_map() -> None:
    text = TEXTS["bare"] + "[staking]\nepsg = 32633\neast = 500120.0\nnorth = 5400340.0\n"
    site = survey_site(laid_out(design_from_text(text + "bearing = 35.0\n")))
    text = record_text(record_of(site))
    assert faults(Document.SITE, text) == []
    assert "east" in json.loads(text)["tables"]["stakes"][0]


def test_faults_of_a_design_and_a_build_that_was_killed() -> None:
    with pytest.raises(DesignFaults) as caught:
        design_from_text("[profile]\nwidth = 20\n[bays]\n")
    assert faults(Document.FINDINGS, report_text(faults_report(caught.value))) == []
    killed = {"schema": "summary-1", "program": "frame3d 0", "unfinished": "yes", "files": []}
    assert faults(Document.SUMMARY, json.dumps(killed)) == []


@pytest.mark.parametrize("change", [
    lambda d: d.pop("parts"), lambda d: d.update(total_mass_kg="1"), lambda d: d.update(new=1),
    lambda d: d["profile"]["width"].pop("centres"), lambda d: d["layout"].update(bays=1.5),
    lambda d: d.update(schema="summary-2"), lambda d: d["parts"][0].update(length_mm="3"),
])  # fmt: skip
def test_what_is_not_so_is_seen(change) -> None:
    frame = laid_out(design_from_text(TEXTS["bare"]))
    summary = copy.deepcopy(json.loads(summary_text(summary_of(frame))))
    change(summary)
    assert list(VALIDATORS[Document.SUMMARY].iter_errors(summary))


def examples(language: str) -> list[str]:
    told = (ROOT / "outputs" / "README.md").read_text("utf-8").partition("## Read by programs")[2]
    return re.findall(rf"```{language}\n(.*?)```", told, re.DOTALL)


def test_the_lines_for_common_questions_work(tmp_path: Path) -> None:
    """Those in Python, on what a build of an example writes."""
    frame = laid_out(design_from_text(TEXTS["straight"]))
    found = check_frame(frame)
    order = taken_off(frame)
    (tmp_path / "summary.json").write_text(summary_text(summary_of(frame)))
    (tmp_path / "findings.json").write_text(report_text(report_of(frame, found)))
    text = records.record_text(records.record_of(order, tables_of(order)))
    (tmp_path / "takeoff.json").write_text(text)
    (example,) = examples("python")
    run = subprocess.run(
        [sys.executable, "-P", "-c", example], cwd=tmp_path, capture_output=True, text=True,
        timeout=60,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    assert f"{order.mass_kg:.0f} kg" in run.stdout
    assert len(run.stdout.splitlines()) >= 3
    (jq,) = examples("sh")
    assert len(jq.splitlines()) == 3
    if shutil.which("jq"):
        for line in jq.splitlines():
            told = subprocess.run(line, shell=True, cwd=tmp_path, capture_output=True, text=True)
            assert told.returncode == 0 and told.stdout, told.stderr
