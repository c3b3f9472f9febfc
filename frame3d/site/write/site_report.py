"""What a site comes to: main figures, findings, and what they rest on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from frame3d.design.tables.staking import StringLine
from frame3d.frame.describe.wording import lengths_of, limit_text
from frame3d.site.built.as_built import HoleState, HoopState
from frame3d.site.survey import Site
from frame3d.site.write.board_words import board_assumptions, board_figures
from frame3d.site.write.built_words import again_words, answer_counts
from frame3d.site.write.earth_words import earth_assumptions, earth_figures, earth_findings
from frame3d.site.write.ground_words import ground_figure
from frame3d.site.write.wall_words import wall_assumptions, wall_findings
from frame3d.site.write.words import (
    correction,
    driving_note,
    hoop_note,
    move_words,
    said,
    side_words,
)


def figures(site: Site) -> list[tuple[str, str]]:
    """The figures to begin with, as names and texts."""
    out, form = site.setting_out, lengths_of(site.frame)
    square = out.square

    def say(length_mm: float) -> str:
        return form.text(length_mm, unit=True)

    rows = [
        ("Between centres of the corner sockets", f"{say(out.width_mm)} by {say(out.length_mm)}"),
        ("Both diagonals", say(out.diagonal_mm)),
        (
            "They may differ by",
            f"{limit_text(form, out.difference_mm)}; the far end is then "
            f"{say(out.skew_of(min(out.difference_mm, out.width_mm)))} out of square",
        ),
        (
            f"Square corner at {out.axes.name}",
            f"{say(square.along_mm)} along, {say(square.across_mm)} across, "
            f"{say(square.slant_mm)} from one to the other",
        ),
        ground_figure(site.frame),
        ("Baseline", f"{say(site.frame.design.staking.baseline)} outside socket {out.axes.name}"),
    ]
    if site.squaring is not None:
        rows.append(("Diagonals as measured", " and ".join(map(say, site.squaring.diagonals_mm))))
    if site.driving is not None:
        rows += [
            ("Total digging and filling at the sockets", say(site.driving.string.moved_mm)),
            *earth_figures(site),
            *board_figures(site),
        ]
    if site.built is not None:
        states = Counter(hoop.state for hoop in site.built.hoops)
        rows.append(("Hoops", "; ".join(f"{s.value}: {states[s]}" for s in HoopState if states[s])))
        holes = Counter(hole.state for hole in site.built.holes)
        if holes:
            counts = "; ".join(f"{s.value}: {holes[s]}" for s in HoleState if holes[s])
            rows.append(("Holes of rails", counts))
        rows.append(("Parts as built", answer_counts(site)))
    return rows


def findings(site: Site) -> tuple[str, ...]:
    """What is to be put right, one sentence each; errors of the frame itself before all else."""
    return (
        *site.status.told, *_of_corners(site), *_of_driving(site), *earth_findings(site),
        *wall_findings(site),
        *_of_built(site),
    )  # fmt: skip


def _of_corners(site: Site) -> Iterator[str]:
    squaring, form = site.squaring, lengths_of(site.frame)
    if squaring is None:
        return
    allowed = site.setting_out.difference_mm
    worst = max(map(abs, squaring.residuals_mm))
    if squaring.spare and worst > allowed:
        yield (
            f"The measured distances do not agree: one is {said(form, worst)} off the best "
            "fit of the others. Measure again before moving anything."
        )
    if abs(squaring.difference_mm) > allowed:
        long, short = ("front left", "front right")
        if squaring.difference_mm < 0:
            long, short = short, long
        yield (
            f"The diagonals differ by {said(form, squaring.difference_mm)}, the one from "
            f"the {long} is longer; {limit_text(form, allowed)} is allowed."
        )
    moves = [f"{m.name} {words}" for m in squaring.moves if (words := move_words(form, m))]
    if moves:
        yield f"Smallest moves that square the corners: {'; '.join(moves)}."
    best = squaring.holds[0]
    moves = [f"{m.name} {words}" for m in best.moves if (words := move_words(form, m))]
    if moves:
        yield (f"With {best.held[0]} and the line to {best.held[1]} held: {'; '.join(moves)}.")


def _of_driving(site: Site) -> Iterator[str]:
    if site.driving is None:
        return
    for driven in site.driving.sockets:
        if note := driving_note(site, driven):
            yield f"Socket {driven.place.name}: {note}."


def _of_built(site: Site) -> Iterator[str]:
    built, form = site.built, lengths_of(site.frame)
    if built is None:
        return
    for hoop in built.hoops:
        if hoop.state is not HoopState.GOES:
            yield f"Hoop {hoop.number} {hoop.state.value}: {hoop_note(form, built, hoop.number)}."
    for hole in built.holes:
        if hole.state is HoleState.LOST:
            yield (
                f"Rail {hole.piece.mark} {side_words(hole.piece.side)}: its hole at hoop "
                f"{hole.hoop} misses by {said(form, hole.misfit_mm)} and does not fit."
            )
    yield from again_words(site)
    for top in built.tops:
        if words := correction(form, top):
            yield f"Socket {top.place.name}: {words}."


def assumptions(site: Site) -> tuple[str, ...]:
    """What the figures rest on."""
    design, form = site.frame.design, lengths_of(site.frame)

    def say(length_mm: float) -> str:
        return form.text(length_mm, unit=True)

    told = [
        "Distances are between socket centres at the ground; a slope is measured along the "
        "string, and sockets and hoops stand plumb.",
    ]
    lean = max(abs(p.top_x_mm - p.x_mm) for p in site.setting_out.points if p.top_x_mm is not None)
    if form.rounded_mm(lean) > 0:
        told.append(f"The legs lean, so the tops are {say(lean)} off the places at the ground.")
    if site.driving is not None:
        exposure = site.driving.exposure
        told += [
            "Between the measured points the ground is taken as flat triangles; outside "
            "them, as high as at the nearest point between them.",
            f"Each top is {say(exposure.least_mm)} to {say(exposure.most_mm)} above "
            "finished ground, with the lower hole clear of it and "
            f"{say(site.driving.embedment_mm)} of the socket in it. The string is the one "
            "with the least total digging and filling, and is "
            + (
                "level."
                if design.staking.string is StringLine.LEVEL
                else f"on one slope of at most {design.staking.most_slope:g} %."
            ),
            "Where you fill, drive to the mark first and fill afterwards; fill holds less "
            "than undisturbed ground until it settles.",
            *earth_assumptions(site),
            *board_assumptions(site),
            *wall_assumptions(site),
        ]
    if site.built is not None:
        allowed = design.tolerances
        told += [
            f"A socket may be off by {say(allowed.socket_spacing)} along, "
            f"{say(allowed.across)} across and {say(allowed.top_height)} in height; a hoop "
            "racks when its two sockets differ by more than twice that.",
            f"A hoop fits freely within {say(site.built.leg_play_mm)} of its width, the "
            f"play of its legs, and sprung within {say(allowed.spring)} more.",
        ]
        if site.built.holes:
            told.append(
                f"A bolt goes in within {say(site.built.hole_play_mm)}, and within "
                f"{say(allowed.persuasion)} more by pulling the hoop; a piece is placed "
                "where most of its holes line up."
            )
    if site.origin is not None:
        told.append(
            f"Map coordinates are in {site.origin.name} (EPSG:{site.origin.epsg}), lengths "
            f"multiplied by its scale factor {site.origin.scale:.6f} at the corner; heights "
            "above the ellipsoid are left out of it. GeoJSON is in WGS 84."
        )
    return tuple(told)
