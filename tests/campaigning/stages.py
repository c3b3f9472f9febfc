"""One design through the program: what was refused, what failed, what was told, how long it took.

Every stage takes what the ones before it have made; a stage that raises fails alone, and the
later ones go on without it.
"""

from __future__ import annotations

import copy
import time
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import pymupdf
from drawing_judge import judge
from finding_links import unlinked
from guide_reader import GuideReader
from msgspec import Struct, field, structs, to_builtins
from odd_designs import take_out

from campaigning.causes import (
    Failure,
    of_exception,
    place_without_numbers,
    sheet_kind,
    words_without_numbers,
)
from campaigning.order import STAGES
from frame3d.building import taken_off
from frame3d.checks.all_checks import check_frame
from frame3d.checks.findings.finding import Finding, Severity
from frame3d.checks.report import report_of, report_text, status_of
from frame3d.design.tables.whole_design import LayerNames
from frame3d.design.writing.editing import plain_text
from frame3d.errors import DesignFaults, Fault, SolidError
from frame3d.frame.model.members import Frame
from frame3d.guide import GUIDE_FILES
from frame3d.guide.write.guide_files import write_guide
from frame3d.sheets.layout.sheet import SheetSet
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.dxf_write import document_of
from frame3d.sheets.write.part_files import write_parts
from frame3d.sheets.write.sheet_files import write_sheet_files
from frame3d.site.write.site_files import write_stakes
from frame3d.solids.parts.make_solids import make_solid
from frame3d.solids.write.model_files import write_model
from frame3d.summary import main_figures, summary_of, summary_text
from frame3d.takeoff.quantities.handling import carried_parts
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.cut_lists import sawn_bars
from frame3d.takeoff.write.takeoff_files import write_takeoff
from frame3d.view.view_page import view_page
from frame3d.web.work.read_designs import forget_old, frame_of
from frame3d.web.work.tasks import TASKS

ROOT = Path(__file__).resolve().parents[2]
_MOST_TAKEN_OUT = 15
_CROWDED = {"text on text", "text on line"}
_made_before: set = set()
"""Parts whose solids were sound; bolts and clamps come again in every design."""


class Trial(Struct, kw_only=True):
    """What came of one design."""

    mapping: dict
    folder: Path
    frame: Frame | None = None
    checks: tuple[Finding, ...] = ()
    takeoff: Takeoff | None = None
    sheets: SheetSet | None = None
    refused: list[Fault] = field(default_factory=list)
    failures: list[Failure] = field(default_factory=list)
    told: Counter = field(default_factory=Counter)
    times: dict[str, float] = field(default_factory=dict)
    sizes: dict[str, int] = field(default_factory=dict)

    def fail(self, stage: str, kind: str, cause: str, detail: str = "") -> None:
        """Note what must not be."""
        self.failures.append(Failure(stage=stage, kind=kind, cause=cause, detail=detail or cause))

    def missing(self, stage: str, names: Iterable[str]) -> None:
        """Files that are not there, or are empty."""
        for name in names:
            path = self.folder / name
            if not path.is_file() or path.stat().st_size == 0:
                self.fail(stage, "missing output", words_without_numbers(name), name)


def run(
    mapping: dict,
    stages: Sequence[str],
    tell: Callable[[str], None] = lambda stage: None,
    *,
    whole: bool = False,
) -> dict:
    """Take a design through ``stages``; ready for JSON.

    Parameters
    ----------
    mapping : dict
    stages : sequence of str
        Of :data:`campaigning.order.STAGES`; the layout is always made.
    tell : callable
        Told the name of each stage before it begins.
    whole : bool
        Where the design is refused, nothing is tried; else the rest of it without what is
        refused, or one odd rail would keep all of it from being looked at.
    """
    with TemporaryDirectory(prefix="campaign-") as folder:
        trial = Trial(mapping=copy.deepcopy(mapping), folder=Path(folder))
        for stage in (name for name in STAGES if name in ("layout", *stages)):
            tell(stage)
            begun = time.process_time()
            try:
                _layout(trial, whole) if stage == "layout" else _WORK[stage](trial)
            except Exception as error:
                trial.failures.append(of_exception(stage, error, ROOT))
            trial.times[stage] = round(time.process_time() - begun, 3)
            if trial.frame is None:
                break
    forget_old()
    return {
        "refused": to_builtins(trial.refused),
        "left": trial.mapping if trial.refused and trial.frame else None,
        "failures": to_builtins(trial.failures), "told": dict(trial.told),
        "times": trial.times, "sizes": trial.sizes,
    }  # fmt: skip


def _layout(trial: Trial, whole: bool) -> None:
    """Reading and layout, as the page does it: from a text, with lines."""
    for _ in range(_MOST_TAKEN_OUT):
        try:
            trial.frame = frame_of(plain_text(trial.mapping))
            trial.sizes["members"] = len(trial.frame.members)
            return
        except DesignFaults as error:
            # What the design as it was drawn is refused for; not what follows from mending it.
            trial.refused = trial.refused or list(error.faults)
            for fault in error.faults:
                if not fault.where or len(fault.message) < 20:
                    trial.fail("layout", "refused without a reason", fault.message, str(fault))
            if whole or not take_out(trial.mapping, error.faults[0].where):
                return


def _checks(trial: Trial) -> None:
    trial.checks = check_frame(trial.frame)
    report_text(report_of(trial.frame, trial.checks))
    for wrong in unlinked(trial.frame, trial.checks):
        trial.fail("checks", "fault of the judge", words_without_numbers(wrong), wrong)
    for finding in trial.checks:
        trial.told[f"check {finding.severity.value}: {finding.rule.name}"] += 1
        fields = finding.fields
        if finding.severity is Severity.ERROR and len(fields) < 2:
            about = " and ".join(sorted({member.role.value for member in finding.members}))
            said = ", ".join(map(place_without_numbers, fields)) or "no field"
            trial.fail(
                "checks",
                "fewer than two fields",
                f"{finding.rule.name}: {about or 'no member'}: {said}",
                f"{finding.where}: {finding.message}",
            )


def _takeoff(trial: Trial) -> None:
    trial.takeoff = taken_off(trial.frame)
    write_takeoff(trial.takeoff, trial.folder)
    trial.missing("takeoff", ["takeoff.json", "takeoff.xlsx"])


def _drawn(trial: Trial) -> SheetSet:
    if trial.sheets is None:
        sawn = sawn_bars(trial.takeoff) if trial.takeoff else ()
        trial.sheets = draw_sheets(trial.frame, sawn, status_of(trial.checks))
    return trial.sheets


def _sheets(trial: Trial) -> None:
    """The drawing as it is before it is written, which takes half the time of reading it back."""
    frame, sheets = trial.frame, _drawn(trial)
    # The judge knows the layers by their plain names.
    doc = document_of(structs.replace(sheets, layers=LayerNames.PLAIN)).doc
    trial.sizes["sheets"] = len(sheets.sheets)
    sizes_mm = [frame.grid.length_mm, *frame.arch.widths(), frame.arch.ridge_height_mm]
    sizes_mm += [size for door in frame.doors for size in (door.width_mm, door.height_mm)]
    sizes_mm += [tie.height for tie in frame.design.tie]
    crowded_and_told = {
        f"{f.sheet} {sheets.sheets[f.sheet - 1].title}".replace(",", "") for f in sheets.findings
    }
    for finding in sheets.findings:
        trial.told[f"sheets: {words_without_numbers(finding.message)}"] += 1
    for fault in judge(doc, sizes_mm=sizes_mm):
        place = sheet_kind(fault.sheet) or words_without_numbers(fault.message)
        if fault.rule in _CROWDED and fault.sheet in crowded_and_told:
            trial.told[f"crowded and told: {fault.rule}: {place}"] += 1
        else:
            trial.fail(
                "sheets",
                "fault of the judge",
                f"{fault.rule}: {place}",
                f"sheet {fault.sheet or '?'}: {fault.message}",
            )


def _guide(trial: Trial) -> None:
    write_guide(trial.frame, trial.folder, status_of(trial.checks))
    trial.missing("guide", GUIDE_FILES)
    html, paper, *_ = (trial.folder / name for name in GUIDE_FILES)
    page = GuideReader(html.read_text("utf-8"))
    if len(page.ids) != len(set(page.ids)):
        trial.fail("guide", "fault of the judge", "an id twice")
    _, *steps = page.sections.values()
    counted = sum((step.counts for step in steps), Counter())
    wanted = Counter({one.group.mark: one.group.count for one in carried_parts(trial.frame)})
    wanted += Counter({g.mark: g.count for g in trial.frame.parts() if g.part.is_bought})
    if counted != wanted:
        detail = f"{dict(counted - wanted)} too many, {dict(wanted - counted)} too few"
        trial.fail("guide", "fault of the judge", "counts are not the take-off's", detail)
    with pymupdf.open(paper) as pdf:
        bare = [number for number, sheet in enumerate(pdf, 1) if not sheet.get_text().strip()]
    if bare:
        trial.fail("guide", "fault of the judge", "an empty page", f"pages {bare}")


def _page(trial: Trial) -> None:
    """What the page asks for first, view.html, and the small files of a build."""
    answer = TASKS["lay"]({"text": plain_text(trial.mapping), "lists": ""}, lambda *progress: None)
    if "faults" in answer.fields or not answer.blob.startswith(b"glTF"):
        trial.fail("page", "missing output", "no scene", str(answer.fields)[:200])
    if not view_page(trial.frame, trial.checks, main_figures(trial.frame)).endswith("</html>\n"):
        trial.fail("page", "missing output", "view.html has no end")
    summary_text(summary_of(trial.frame, findings=(), files=[]))
    write_stakes(trial.frame, trial.folder / "stakes.csv")
    trial.missing("page", ["stakes.csv"])


def _solids(trial: Trial) -> None:
    for group in trial.frame.parts():
        if group.part in _made_before:
            continue
        try:
            make_solid(group.part, mark=group.mark, role=group.role)
            _made_before.add(group.part)
        except SolidError as error:
            cause = f"{group.role.value}: {words_without_numbers(str(error))}"
            trial.fail("solids", "invalid solid", cause, f"{error}\n{group.part!r}")


def _files(trial: Trial) -> None:
    """All other files of a build but the pictures."""
    names = write_sheet_files(_drawn(trial), trial.folder)
    names += tuple(write_parts(trial.frame, trial.folder))
    trial.missing("files", names)
    unmade = write_model(trial.frame, trial.folder).unmade
    trial.missing("files", ["model.step", "model.stl", "model.glb"])
    if not any(failure.stage == "solids" for failure in trial.failures):
        for one in unmade:
            trial.fail("files", "invalid solid", one.lack.value, f"{one.name}: {one.reason}")


_WORK: dict[str, Callable[[Trial], None]] = {
    "checks": _checks, "takeoff": _takeoff, "sheets": _sheets, "guide": _guide, "page": _page,
    "solids": _solids, "files": _files,
}  # fmt: skip


__all__ = ["run"]
