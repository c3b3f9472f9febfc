"""The staking plan: corners, stakes of the strings, baseline, square corner, diagonals."""

from __future__ import annotations

from frame3d.frame.describe.wording import lengths_of
from frame3d.sheets.annotation.annotations import (
    Aligned,
    Annotation,
    Chain,
    GridBubbles,
    LengthCell,
    Mark,
    Running,
    Table,
    View,
    ViewEdge,
)
from frame3d.sheets.primitives.primitives import CircleStroke, Layer, Point, Primitive, Stroke
from frame3d.site.staking.setting_out import PlaceKind, SettingOut, StakedPoint
from frame3d.site.survey import Site

_STAKE_MM = 60.0
"""Half a stake's mark, as the cross that shows it."""


def notes(site: Site) -> tuple[str, ...]:
    """What is to be said on the plan."""
    out, say = site.setting_out, lengths_of(site.frame).text
    corner, square, staking = out.axes.name, out.square, site.frame.design.staking
    told = [
        f"Everything is measured from socket {corner}. Running dimensions are along the "
        "string; measure each from there, never from the next socket.",
        "Strings run from stake to stake over the centres of the corner sockets. The "
        "corners are square when both diagonals are equal; they may differ by "
        f"{say(out.difference_mm, unit=True)}.",
        f"For a square corner at {corner}, SQ-A stands {say(square.along_mm, unit=True)} along and "
        f"SQ-E {say(square.across_mm, unit=True)} across from it, and "
        f"{say(square.slant_mm, unit=True)} from each other (3, 4 and 5). Stakes stand "
        f"{say(staking.stake_distance, unit=True)} beyond the corners, A on "
        "the line of a side and E on that of an end; BL1 and BL2 are the ends of "
        "the baseline.",
    ]
    return tuple(told)


def staking_plan(site: Site, *, running: bool) -> View:
    """The plan of everything that is staked.

    Parameters
    ----------
    site : Site
    running : bool
        With a running figure for every hoop; else of the last only.
    """
    out = site.setting_out
    at = {point.name: _flat(out, point) for point in out.points}
    corners = _corners(out)
    primitives: list[Primitive] = [*_strings(out), *_sockets(site), *_stakes(out)]
    first, last = at["BL1"], at["BL2"]
    primitives.append(Stroke(start=first, end=last, layer=Layer.CENTRE))
    us, vs = zip(*at.values(), strict=True)
    bounds = (min(us), min(vs), max(us), max(vs))
    annotations: list[Annotation] = [
        Aligned(first=corners[0], second=corners[3], name="diagonal", share=0.3),
        Aligned(first=corners[1], second=corners[2], name="diagonal", share=0.7),
        Chain(points=(corners[1], corners[3]), edge=ViewEdge.BOTTOM,
              names=("between centres of the end sockets",), rank=3),
        Chain(points=(corners[0], corners[1]), edge=ViewEdge.LEFT, names=("between centres",),
              rank=2),
        *_square(site, at), *_baseline(site, at), *_grid(site, running=running),
        *_names(out),
    ]  # fmt: skip
    return View(
        title="Staking plan",
        primitives=tuple(primitives),
        bounds=bounds,
        annotations=tuple(annotations),
    )


def skew_table(site: Site) -> Table:
    """How much the diagonals differ for how much skew."""
    return Table(
        title="Far end sideways",
        head=("Diagonals differ by", "Move the far end"),
        rows=tuple(
            (LengthCell(skew.difference_mm), LengthCell(skew.skew_mm))
            for skew in site.setting_out.skews
        ),
    )


def _flat(out: SettingOut, point: StakedPoint) -> Point:
    """A point on the plan: the tunnel runs to the right, its left side on top.

    Distances along are those of a tape along the string, on a slope as well.
    """
    along = point.along_mm if out.axes.y_mm == 0.0 else -point.along_mm
    return (along, -point.x_mm)


def _corners(out: SettingOut) -> list[Point]:
    """Front left, front right, back left, back right."""
    sockets = out.of(PlaceKind.SOCKET)
    return [_flat(out, point) for point in (sockets[0], sockets[1], sockets[-2], sockets[-1])]


def _strings(out: SettingOut) -> list[Primitive]:
    """From stake to stake: two along, two across."""
    stakes = {point.name: _flat(out, point) for point in out.of(PlaceKind.STAKE)}
    sockets = out.of(PlaceKind.SOCKET)
    names = [point.name for point in (sockets[0], sockets[1], sockets[-2], sockets[-1])]
    pairs = ((names[0], names[2], "A"), (names[1], names[3], "A"),
             (names[0], names[1], "E"), (names[2], names[3], "E"))  # fmt: skip
    return [
        Stroke(start=stakes[f"{a}-{letter}"], end=stakes[f"{b}-{letter}"], layer=Layer.GRID)
        for a, b, letter in pairs
    ]


def _sockets(site: Site) -> list[Primitive]:
    out = site.setting_out
    radius = site.frame.design.socket.tube.od_mm / 2
    return [
        CircleStroke(centre=_flat(out, point), radius=radius) for point in out.of(PlaceKind.SOCKET)
    ]


def _stakes(out: SettingOut) -> list[Primitive]:
    made: list[Primitive] = []
    for point in out.of(PlaceKind.STAKE):
        u, v = _flat(out, point)
        for sign in (1, -1):
            made.append(
                Stroke(start=(u - _STAKE_MM, v - sign * _STAKE_MM),
                       end=(u + _STAKE_MM, v + sign * _STAKE_MM), layer=Layer.OUTLINE)
            )  # fmt: skip
    return made


def _square(site: Site, at: dict[str, Point]) -> list[Annotation]:
    return [Aligned(first=at["SQ-A"], second=at["SQ-E"], name="square corner", share=0.55)]


def _baseline(site: Site, at: dict[str, Point]) -> list[Annotation]:
    """How far the baseline runs from the side, told at the end away from the corner."""
    out = site.setting_out
    if not site.frame.design.staking.baseline:
        return []
    corner, front = at[out.axes.name], out.axes.y_mm == 0.0
    foot = at["BL2" if front else "BL1"]
    abreast = next(p for p in _corners(out) if p[0] == foot[0] and p[1] == corner[1])
    edge = ViewEdge.RIGHT if front else ViewEdge.LEFT
    return [Chain(points=_upward(foot, abreast), edge=edge, names=("to the baseline",), rank=3)]


def _upward(*points: Point) -> tuple[Point, ...]:
    return tuple(sorted(points, key=lambda point: point[1]))


def _grid(site: Site, *, running: bool) -> list[Annotation]:
    out = site.setting_out
    left = [_flat(out, point) for point in out.of(PlaceKind.SOCKET)[0::2]]
    numbered = [(str(number), point) for number, point in enumerate(left, start=1)]
    datum = left[0] if out.axes.y_mm == 0.0 else left[-1]
    shown = numbered if running else [numbered[0], numbered[-1]]
    return [
        Running(datum=datum, points=tuple(point for _, point in shown), edge=ViewEdge.TOP),
        GridBubbles(places=tuple(shown), edge=ViewEdge.TOP),
    ]


def _names(out: SettingOut) -> list[Annotation]:
    """The names of stakes, corners and other marks, off the strings."""
    annotations: list[Annotation] = []
    sockets = out.of(PlaceKind.SOCKET)
    corners = (sockets[0], sockets[1], sockets[-2], sockets[-1])
    named = (*corners, *(point for point in out.points if point.kind is not PlaceKind.SOCKET))
    middle = [sum(values) / 4 for values in zip(*_corners(out), strict=True)]
    at: dict[tuple[int, ...], list[StakedPoint]] = {}
    for point in named:
        at.setdefault(tuple(round(c) for c in _flat(out, point)), []).append(point)
    for points in at.values():
        u, v = _flat(out, points[0])
        right = 1 if u < middle[0] else -1
        up = 1 if v < middle[1] else -1
        if points[0].kind is PlaceKind.SOCKET:
            right, up = -right, -up  # there is more room outside the corners
        ways = tuple(
            (a, b, distance)
            for distance in (1.5, 3.0, 5.0)
            for a, b in ((right, up), (right, -up), (-right, up), (-right, -up))
        )
        if points[0].name.endswith("-A"):
            ways = ((-right, 0, 1.5), *ways)  # on the line of its string, beyond it
        text = ", ".join(point.name for point in points)
        annotations.append(Mark(text=text, at=(u, v), ways=ways, half=(20.0, 20.0)))
    return annotations
