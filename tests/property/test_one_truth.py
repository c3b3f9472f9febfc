"""Whatever two outputs show of one design is the same figure."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from campaign import examples
from figures_shown import (
    Collector,
    Shown,
    alone,
    disagreements,
    from_findings,
    from_guide,
    from_page,
    from_sheets,
    from_stakes,
    from_summary,
    from_takeoff,
    lengths_in,
)
from hypothesis import HealthCheck, Phase, given, settings
from odd_designs import frame_within
from sound_design import frame_of
from whole_designs import designs

from frame3d.building import taken_off
from frame3d.checks.all_checks import check_frame
from frame3d.checks.report import report_of, report_text
from frame3d.frame.describe.flat_bars import flat_blanks
from frame3d.frame.describe.key_figures import main_figures
from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.dxf_write import write_dxf
from frame3d.single_builds import build_guide, build_takeoff
from frame3d.site.write.site_files import write_stakes
from frame3d.summary import summary_of, summary_text
from frame3d.takeoff.write.cut_lists import sawn_bars
from frame3d.view.view_page import view_page

READ: dict[str, Callable[[Collector, str], None]] = {
    "summary.json": from_summary,
    "findings.json": from_findings,
    "takeoff.json": from_takeoff,
    "stakes.csv": from_stakes,
    "guide.html": from_guide,
    "view.html": functools.partial(from_page, out="view.html"),
}
ALONE = re.compile(r"diagonal at the tops|tie \d|door \d+, clear width|[A-Z]+\d+, mass")
"""What some designs show in one place only: clear widths that are the opening, ties of more
than one height, which the guide lists together."""


def outputs_of(frame: Frame, folder: Path) -> dict[str, str]:
    """Every output that is text, and the drawing as its file's text."""
    findings, takeoff = check_frame(frame), taken_off(frame)
    build_guide(frame, folder)
    build_takeoff(takeoff, folder)
    write_stakes(frame, folder / "stakes.csv")
    write_dxf(draw_sheets(frame, sawn_bars(takeoff)), folder / "sheets.dxf")
    made = {
        "summary.json": summary_text(summary_of(frame)),
        "findings.json": report_text(report_of(frame, findings)),
        "view.html": view_page(frame, findings, main_figures(frame)),
    }
    for name in ("takeoff.json", "stakes.csv", "guide.html", "sheets.dxf"):
        made[name] = (folder / name).read_text(encoding="utf-8")
    return made


def shown_by(name: str, text: str, step_mm: float, folder: Path) -> list[Shown]:
    """Every figure of one output, read back from its text alone."""
    take = Collector(step_mm)
    if name in READ:
        READ[name](take, text)
    else:
        drawing = folder / "read.dxf"
        drawing.write_text(text, encoding="utf-8")
        from_sheets(take, ezdxf.readfile(drawing))
    return take.found


def shown_by_all(outputs: dict[str, str], step_mm: float, folder: Path) -> list[Shown]:
    """Every figure of all outputs."""
    return [s for name, text in outputs.items() for s in shown_by(name, text, step_mm, folder)]


@pytest.mark.parametrize("furnished", [False, True])
def test_figures_that_two_outputs_show_are_the_same(furnished, tmp_path) -> None:
    @settings(
        max_examples=examples(4), deadline=None, derandomize=True, database=None,
        phases=[Phase.generate], suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(designs(most_bays=6, furnished=furnished))
    def agree(mapping: dict) -> None:
        mapping["output"].pop("layers", None)
        # With grips for the bender a bar is cut longer than the piece is when it is finished.
        mapping.get("order", {}).pop("straight_end", None)
        made = frame_within(mapping)
        if made is None:
            return
        frame = made[0]
        shown = shown_by_all(outputs_of(frame, tmp_path), lengths_of(frame).step_mm, tmp_path)
        assert disagreements(shown) == []
        # Of flat bar the drawing is held by tests/integration/test_flat_bar_order.py.
        cut = {f"{blank.name}, length" for blank in flat_blanks(frame)}
        assert {one for one in alone(shown) - cut if not ALONE.fullmatch(one)} == set()

    agree()


# --- the test itself is held by figures spoilt on purpose ---------------------------------

SPOILT = [
    # output, what stands there, and which of its figures is changed
    ("summary.json", r'"centres": \{\s*"mm": ([\d.]+)', "width"),
    ("summary.json", r'"over_all": \{\s*"mm": ([\d.]+)', "ridge, overall"),
    ("summary.json", r'"clear": \{\s*"mm": [\d.]+,\s*"text": "(\d+) mm', "ridge, clear"),
    ("summary.json", r'"leg_height": \{\s*"mm": ([\d.]+)', "leg"),
    ("summary.json", r'"socket_exposed": \{\s*"mm": ([\d.]+)', "socket, exposed"),
    ("summary.json", r'"bays": (\d+)', "bays"),
    ("summary.json", r'"channel_in_all": \{\s*"mm": ([\d.]+)', "channel"),
    ("summary.json", r'"mark": "H2",[^}]*"count": (\d+)', "H2, count"),
    ("summary.json", r'"mark": "R2",[^}]*"length_mm": ([\d.]+)', "R2, length"),
    ("summary.json", r'\{\s*"role": "nut",\s*"description": "hex nut M8",\s*"count": (\d+)',
     "hex nut M8, count"),
    ("findings.json", r'"under_hoops_mm": ([\d.]+)(?=[^{]*\],\s*"width_at_height)', "ridge, clear"),
    ("findings.json", r'"side_vents_share_of_floor": ([\d.]+)', "side opening, share"),
    ("takeoff.json", r'"mark": "S1"[^}]*?"count": (\d+)', "S1, count"),
    ("takeoff.json", r'"mark": "T1"[^}]*?"length_mm": ([\d.]+)', "T1, length"),
    ("takeoff.json", r'"total_mass_kg": ([\d.]+)', "mass in all"),
    ("takeoff.json", r'"item": "carriage bolt M10 x 110 mm"[^}]*?"needed": (\d+)',
     "carriage bolt M10 x 110 mm, count"),
    ("stakes.csv", r"2L,socket,[\d.]+,([\d.]+)", "bay"),
    ("stakes.csv", r"1R,socket,([\d.]+)", "width"),
    ("guide.html", r"Both diagonals: <b>(\d+)", "diagonal"),
    ("guide.html", r"Channel fixed, in all: <b>(\d+)", "channel"),
    ("guide.html", r"Film over the hoops, width by length: <b>(\d+)", "film, width"),
    ("guide.html", r"Bolts in the whole frame: <b>(\d+)", "bolts in all"),
    ("guide.html", r"<b>(\d+)\s×\sH2</b>", "H2, count"),
    ("guide.html", r"<dt>Ridge height, [^<]*</dt><dd>(\d+)", "ridge"),
    ("guide.html", r"Height under a tie tube: <b>(\d+)", "tie 1, under its tube"),
    ("view.html", r"<dt>Width at ground</dt><dd>\d+.mm centres, (\d+)", "width, outside"),
    ("view.html", r"<dt>Door in the front wall</dt><dd>hinged, opening (\d+)", "door 1, opening"),
    ("view.html", r"<dt>Side openings</dt><dd>(\d+)", "side opening, along the hoop"),
    ("sheets.dxf", r"(3555)( |\\P)clear", "ridge, clear"),
    ("sheets.dxf", r"(3605)( |\\P)overall", "ridge, overall"),
    ("sheets.dxf", r"\n(6000) mm centres, ", "width"),
    ("sheets.dxf", r"\n(13416)( |\\P)diagonal", "diagonal"),
]  # fmt: skip


Sound = tuple[dict[str, str], dict[str, list[Shown]], Path]


@pytest.fixture(scope="module")
def sound(tmp_path_factory) -> Sound:
    """Outputs of the sound design, and what each of them shows."""
    folder = tmp_path_factory.mktemp("outputs")
    outputs = outputs_of(frame_of(), folder)
    return outputs, {n: shown_by(n, text, 1.0, folder) for n, text in outputs.items()}, folder


def test_the_sound_design_shows_hundreds_of_figures_that_agree(sound: Sound) -> None:
    shown = [one for found in sound[1].values() for one in found]
    assert len(shown) > 700
    assert disagreements(shown) == []


@pytest.mark.parametrize(("output", "place", "meaning"), SPOILT)
def test_one_figure_spoilt_in_one_output_is_found(output, place, meaning, sound: Sound) -> None:
    outputs, shown, folder = sound
    text = outputs[output]
    match = re.search(place, text)
    assert match, "the figure does not stand there"
    other = str(int(match[1]) + 2) if match[1].isdigit() else str(float(match[1]) + 1.7)
    spoilt = text[: match.start(1)] + other + text[match.end(1) :]
    together = {**shown, output: shown_by(output, spoilt, 1.0, folder)}
    told = disagreements([one for found in together.values() for one in found])
    assert any(line.startswith(f"{meaning}: ") for line in told)


def test_lengths_are_read_as_people_write_them() -> None:
    """Twelve inches to a foot, 25.4 mm to an inch."""
    text = '3\'-11 3/16" by 13/16", 6", 10\'-0", 1 1/2" and 1,200.5 mm'
    inches = [47 + 3 / 16, 13 / 16, 6, 120, 1.5]
    assert lengths_in(text.replace(",200", "200")) == pytest.approx(
        [*(value * 25.4 for value in inches), 1200.5]
    )
