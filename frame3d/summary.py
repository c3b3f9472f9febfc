"""What a frame is, in figures: for ``summary.json`` and for the screen.

Everything comes from the frame alone, without solids, dates or paths: the same
design gives the same summary.
"""

from __future__ import annotations

import json
import math
from collections import Counter
from collections.abc import Sequence

from frame3d import __version__
from frame3d.frame.describe.bought import bought
from frame3d.frame.describe.key_figures import chosen_by_rule, member_count, total_mass_kg
from frame3d.frame.describe.key_figures import main_figures as key_figures
from frame3d.frame.describe.set_status import UNCHECKED, SetStatus
from frame3d.frame.describe.wording import CAUTIONS, describe, lengths_of
from frame3d.frame.model.members import Frame, Member
from frame3d.frame.model.openings import door_name
from frame3d.frame.model.part_records import Change, PartRecord
from frame3d.frame.model.roles import Role
from frame3d.frame.revisions.records import record_of
from frame3d.frame.revisions.revision_index import project_record, revision_of
from frame3d.frame.skin.cover_film import cover_lines
from frame3d.frame.skin.curtain_figures import curtains_of
from frame3d.frame.skin.door_curtains import DoorCurtain, door_curtains
from frame3d.frame.space.crown import crown_of
from frame3d.frame.space.sweeps import clear_width_mm
from frame3d.geometry.arch.arch import Measures
from frame3d.schemas import Document
from frame3d.site.survey import site_of
from frame3d.site.write.built_words import built_record
from frame3d.site.write.ground_words import ground_figure, ground_record
from frame3d.units import MM_PER_INCH, LengthFormat
from frame3d.units.data_tables import Json

MM_PER_FOOT = 12 * MM_PER_INCH


def main_figures(frame: Frame, *, mass: bool = True) -> list[tuple[str, str]]:
    """The figures that tell one frame from another, and what ground they hold for."""
    return [*key_figures(frame, mass=mass), ground_figure(frame)]


def summary_of(
    frame: Frame,
    status: SetStatus = UNCHECKED,
    *,
    findings: Sequence[str] = (),
    files: Sequence[str] = (),
) -> dict[str, Json]:
    """Everything that ``summary.json`` holds.

    Parameters
    ----------
    frame : Frame
    status : SetStatus
    findings : sequence of str
        What the sheets could not show as wanted.
    files : sequence of str
        Names of the files of the build.
    """
    project, output = frame.design.project, frame.design.output
    return {
        "schema": Document.SUMMARY.value,
        "program": f"frame3d {__version__}",
        "project": project_record(frame.design),
        "revision": revision_of(frame.design),
        "revisions": [one.model_dump(mode="json") for one in frame.design.revision],
        "since": _since(frame),
        "status": _status(status, project.number),
        "units": {"text": output.units.value, "numbers": "mm, kg, deg, as their names say"},
        "profile": _profile(frame),
        "ground": ground_record(site_of(frame, status)),
        "as_built": built_record(frame),
        "layout": _layout(frame),
        "doors": _doors(frame),
        "side_openings": _vents(frame),
        "ties": _ties(frame),
        "cover": _cover(frame),
        "curtains": _curtains(frame),
        "door_curtains": [_door_curtain(frame, one) for one in door_curtains(frame)],
        "parts": _parts(frame),
        "retired_parts": [_recorded(r) for r in frame.since.retired] if frame.since else [],
        "total_mass_kg": _round(total_mass_kg(frame)),
        "total_mass": lengths_of(frame).mass(total_mass_kg(frame)),
        "hardware": _hardware(frame),
        "hardware_pieces": _pieces(frame),
        "model_lacks": [
            {
                "mark": one.mark,
                "role": one.role.value,
                "name": one.name,
                "text": one.words,
                "reason": one.reason,
            }
            for one in status.unmade
        ],
        "sheet_findings": list(findings),
        "cautions": list(CAUTIONS),
        "files": list(files),
    }


def _status(status: SetStatus, number: str) -> dict[str, Json]:
    return {
        "set_number": status.number(number),
        "not_to_be_built_from": status.is_stopped,
        "errors": status.error_count,
        "why": list(status.errors),
        "lists_not_given": [one.line for one in status.missing],
    }


def summary_text(summary: dict[str, Json]) -> str:
    """The text of ``summary.json``."""
    return json.dumps(summary, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _profile(frame: Frame) -> dict[str, Json]:
    arch, crown, form = frame.arch, crown_of(frame), lengths_of(frame)
    return {
        "style": arch.style.value,
        "form": arch.form.value,
        "width": _three(arch.widths(), form),
        "ridge_height": {
            "centres": _length(crown.axis_mm, form),
            "over_all": _length(crown.over_all_mm, form),
            "clear": _length(crown.clear_mm, form),
        },
        "ridge_height_is": "centres: of the hoop's centreline, at a gothic ridge where its halves "
        "would meet; over_all and clear: of the steel as made, with its ridge joint or sleeves",
        "leg_height": _length(arch.leg_height_mm, form),
        "leg_lean": _angle(arch.leg_lean_rad, form),
        "eave_radius": _length(arch.eave_radius_mm, form),
        "top_radius": _length(arch.top_radius_mm, form),
        "rafter_length": _length(arch.rafter_length_mm, form),
        "ridge_slope": _angle(arch.ridge_slope_rad, form),
        "chosen_by_rule": chosen_by_rule(frame),
    }


def _layout(frame: Frame) -> dict[str, Json]:
    grid, form, socket = frame.grid, lengths_of(frame), frame.design.socket
    od_mm = frame.arch.tube_od_mm
    return {
        "length_between_centres": _length(grid.length_mm, form),
        "length_outside_of_end_hoops": _length(grid.length_mm + od_mm, form),
        "bays": len(grid.hoop_y_mm) - 1,
        "spacing": _length(grid.spacing_mm, form),
        "hoops": len(grid.hoop_y_mm),
        "sockets": member_count(frame, Role.SOCKET),
        "socket_length": _length(socket.length, form),
        "socket_exposed": _length(socket.exposed, form),
        "embedment": _length(socket.length - socket.exposed, form),
    }


def _doors(frame: Frame) -> list[dict[str, Json]]:
    form = lengths_of(frame)
    return [
        {
            "end": door.end.value,
            "from": door.where,
            "kind": door.kind.value,
            "leaves": len(door.leaves),
            "opening_width": _length(door.width_mm, form),
            "clear_width": _length(clear_width_mm(door), form),
            "clear_height": _length(door.height_mm, form),
            "middle_from_centreline": _length((door.left_x_mm + door.right_x_mm) / 2, form),
            "above_ground": _length(door.bottom_mm, form),
        }
        for door in frame.doors
    ]


def _vents(frame: Frame) -> dict[str, Json] | None:
    if not frame.vents:
        return None
    form, cover, vent = lengths_of(frame), cover_lines(frame), frame.vents[0]
    return {
        "sides": len(frame.vents),
        "height_along_the_hoop": _length(vent.girth_mm, form),
        "bottom_above_ground": _length(vent.bottom_mm, form),
        "top_above_ground": _length(vent.top_mm, form),
        "length": _length(vent.end_y_mm - vent.start_y_mm, form),
        "free_area_both_sides": _area(cover.vent_mm2),
        "share_of_floor": _round(cover.vent_share),
        "floor": _area(cover.floor_mm2),
        "floor_is": "between centres of the sockets and of the end hoops",
    }


def _ties(frame: Frame) -> list[dict[str, Json]]:
    form = lengths_of(frame)
    return [
        {
            "from": f"tie[{index}]",
            "height_of_centreline": _length(tie.height, form),
            "clear_height_under": _length(tie.height - tie.tube.od_mm / 2, form),
        }
        for index, tie in enumerate(frame.design.tie, start=1)
    ]


def _cover(frame: Frame) -> dict[str, Json]:
    form, cover = lengths_of(frame), cover_lines(frame)
    return {
        "girth": _length(cover.girth_mm, form),
        "film_width": _length(cover.film_width_mm, form),
        "film_length": _length(cover.film_length_mm, form),
        "film_area": _area(cover.film_mm2),
        "end_walls": [
            {
                "end": wall.end.value,
                "cut_from": [_length(wall.width_mm, form), _length(wall.height_mm, form)],
                "covered_without_doors": _area(wall.covered_mm2),
            }
            for wall in cover.walls
        ],
        "channel": [
            {
                "along": run.along,
                "length": _length(run.length_mm, form),
                "runs": run.count,
                "pieces_each": run.pieces,
            }
            for run in cover.channel
        ],
        "channel_in_all": _length(cover.channel_mm, form),
        "channel_pieces": cover.channel_pieces,
        "channel_piece": _length(cover.channel_stock_mm, form),
        "covered_ground": _area(cover.covered_mm2),
        "enclosed_volume": {
            "m3": _round(cover.volume_mm3 * 1e-9),
            "ft3": _round(cover.volume_mm3 / MM_PER_FOOT**3),
        },
        "measured": "over the outer face of the hoops; allowances as the design gives them",
    }


def _curtains(frame: Frame) -> dict[str, Json] | None:
    curtains, form = curtains_of(frame), lengths_of(frame)
    if curtains is None:
        return None
    return {
        "sides": len(frame.vents),
        "from_channel_to_tube": _length(curtains.hangs_mm, form),
        "film_width": _length(curtains.across_mm, form),
        "film_length": _length(curtains.film_mm, form),
        "tube_length": _length(curtains.tube_mm, form),
        "rolled_diameter": _length(curtains.rolled_mm, form),
        "turns": _round(curtains.turns),
        "crank_turns": _round(curtains.crank_turns),
        "tube_kg": _round(curtains.tube_kg),
        "film_kg": _round(curtains.film_kg),
        "tube_torque_nm": _round(curtains.torque_nm),
        "crank_torque_nm": _round(curtains.crank_torque_nm),
        "crank_force_n": _round(curtains.crank_force_n),
        "tube_twist": _angle(curtains.twist_rad, form),
        "cord_each_side": _length(curtains.cord_mm, form),
        "measured": "of one side; friction is not counted, and nothing is said about wind",
    }


def _door_curtain(frame: Frame, one: DoorCurtain) -> dict[str, Json]:
    form = lengths_of(frame)
    return {
        "door": door_name(frame.doors, one.door),
        "film_width": _length(one.width_mm, form),
        "film_length": _length(one.film_mm, form),
        "from_tube_to_bar": _length(one.hangs_mm, form),
        "bar_length": _length(one.bar_mm, form),
        "rolled_diameter": _length(one.rolled_mm, form),
        "turns": _round(one.turns),
        "tube_kg": _round(one.tube_kg),
        "bar_kg": _round(one.bar_kg),
        "film_kg": _round(one.film_kg),
        "tube_torque_nm": _round(one.torque_nm),
        "crank_force_n": _round(one.force_n),
        "tube_twist": _angle(one.twist_rad, form),
        "measured": "the most on the way up; friction is not counted, and nothing is said about "
        "wind",
    }


def _area(area_mm2: float) -> dict[str, Json]:
    return {"m2": _round(area_mm2 * 1e-6), "ft2": _round(area_mm2 / MM_PER_FOOT**2)}


def _parts(frame: Frame) -> list[dict[str, Json]]:
    from frame3d.frame.measure.measures import mass_kg

    form = lengths_of(frame)
    rows: list[dict[str, Json]] = []
    for group in frame.parts():
        each = mass_kg(group.part)
        length = group.part.over_all_mm
        rows.append(
            {
                "mark": group.mark,
                "role": group.role.value,
                "description": describe(group.part, form),
                "count": group.count,
                "length_mm": None if length is None else _round(length),
                "length": None if length is None else form.text(length, unit=True),
                "mass_each_kg": _round(each),
                "mass_total_kg": _round(each * group.count),
                "bought": group.part.is_bought,
                "shape": record_of(group, frame).shape.text,
            }
        )
    return rows


def _since(frame: Frame) -> dict[str, Json] | None:
    """What differs from the older build whose marks the frame has."""
    if frame.since is None:
        return None
    return {
        "revision": frame.since.revision,
        "parts": [
            {
                "change": one.change.value,
                "mark": one.new.mark if one.new else None,
                "old_mark": one.old.mark if one.old else None,
            }
            for one in frame.since.changes
            if one.change is not Change.SAME
        ],
    }


def _recorded(record: PartRecord) -> dict[str, Json]:
    return {
        "mark": record.mark,
        "role": record.role,
        "description": record.description,
        "bought": record.bought,
        "length_mm": record.length_mm,
        "shape": record.shape.text,
    }


_SAME_KIND = {Role.CHANNEL_SCREW: Role.SCREW, Role.CURTAIN_SCREW: Role.SCREW}
"""What is sold as one thing, whatever it holds."""


def _hardware(frame: Frame) -> list[dict[str, Json]]:
    """How many of each thing that is bought, as it is sold: equal words, equal things."""
    rows: list[tuple[str, str, int]] = [
        (_kind(thing.members[0]), thing.item, thing.count) for thing in bought(frame)
    ]
    return [
        {"role": role, "description": words, "count": count} for role, words, count in sorted(rows)
    ]


def _pieces(frame: Frame) -> dict[str, Json]:
    """How many bolts, nuts and so on there are to put in, those of clamps too."""
    counts = Counter(_kind(member) for member in frame.members if member.part.is_bought)
    return dict(sorted(counts.items()))


def _kind(member: Member) -> str:
    return _SAME_KIND.get(member.role, member.role).value


def _three(measures: Measures, form: LengthFormat) -> dict[str, Json]:
    return {
        "centres": _length(measures.centres_mm, form),
        "outside": _length(measures.outside_mm, form),
        "clear_inside": _length(measures.inside_mm, form),
    }


def _length(length_mm: float | None, form: LengthFormat) -> dict[str, Json] | None:
    """A length as a number and as text; None where there is none, as for a straight radius."""
    if length_mm is None or not math.isfinite(length_mm):
        return None
    return {"mm": _round(length_mm), "text": form.text(length_mm, unit=True)}


def _angle(angle_rad: float, form: LengthFormat) -> dict[str, Json]:
    return {"deg": _round(math.degrees(angle_rad)), "text": form.angle(angle_rad)}


def _round(value: float) -> float:
    """To 1e-3: finer than anything that is made, coarser than the noise of floating point."""
    return round(value, 3) + 0.0
