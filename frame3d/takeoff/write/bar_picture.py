"""``takeoff-cuts.svg``: every bar with its cuts in the order of the saw, to scale."""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import escape

from frame3d.frame.describe.as_built import titled
from frame3d.frame.describe.wording import lengths_of
from frame3d.takeoff.cutting.plan_cuts import CuttingPlan
from frame3d.takeoff.quantities.cuts import SectionPlan
from frame3d.takeoff.take_off import Takeoff
from frame3d.takeoff.write.cut_lists import BarGroup, bar_groups
from frame3d.units import LengthFormat

WIDTH, LEFT, BAR, STEP, HEAD, MARGIN = 1180.0, 150.0, 26.0, 44.0, 40.0, 20.0
"""Sizes of the picture in its own units: page, room for labels, bar, row, heading, edge."""
_PER_LETTER = 6.2
_FILLS = ("#cfe3f2", "#f6dfb8", "#d5ead0", "#ecd3e4", "#f3cfc6", "#d9d7ee", "#e8e6c8", "#c9e4e2")
_OFFCUT, _WASTE = "#ffffff", "#c9c9c9"


def bar_picture(takeoff: Takeoff) -> str:
    """The picture as the text of an SVG file."""
    plans = [(one, one.plan) for one in takeoff.sections if one.plan is not None]
    longest = max((bar.stock.length_mm for _, plan in plans for bar in plan.bars), default=1.0)
    scale = (WIDTH - LEFT - MARGIN) / longest
    body: list[str] = []
    top = MARGIN + 50
    for section, plan in plans:
        body += _section(takeoff, section, plan, top, scale)
        top += HEAD + STEP * sum(1 for _ in bar_groups(section))
    title = escape(f"{titled(takeoff.frame)}: cutting plans")
    head = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {top + MARGIN:g}" '
        f'width="{WIDTH:g}" height="{top + MARGIN:g}" font-family="sans-serif" font-size="11">',
        f"<title>{title}</title>",
        f'<rect width="{WIDTH:g}" height="{top + MARGIN:g}" fill="#ffffff"/>',
        f'<text x="{MARGIN:g}" y="{MARGIN + 14:g}" font-size="17">{title}</text>',
        f'<text x="{MARGIN:g}" y="{MARGIN + 34:g}" fill="#444444">Cut from left to right. '
        "White, dashed: offcut to keep. Grey: waste, saw cuts and trim.</text>",
    ]
    return "\n".join([*head, *body, "</svg>"]) + "\n"


def _section(
    takeoff: Takeoff, section: SectionPlan, plan: CuttingPlan, top: float, scale: float
) -> Iterator[str]:
    form, order = lengths_of(takeoff.frame), takeoff.frame.design.order
    bars = len(plan.bars)
    heading = f"{section.section.name}: {bars} {'length' if bars == 1 else 'lengths'}"
    if not plan.proven:
        heading += f"; not proven best, at most {plan.gap:.1%} could be saved"
    yield (
        f'<text x="{MARGIN:g}" y="{top + 24:g}" font-size="14" font-weight="bold">'
        f"{escape(heading)}</text>"
    )
    fills = {
        piece.mark: _FILLS[number % len(_FILLS)]
        for number, piece in enumerate(sorted(section.pieces, key=lambda p: -p.length_mm))
    }
    for number, group in enumerate(bar_groups(section)):
        at = top + HEAD + STEP * number
        yield from _bar(group, at, scale, form, fills, (section.kerf_mm, order.shortest_offcut))


def _bar(
    group: BarGroup,
    top: float,
    scale: float,
    form: LengthFormat,
    fills: dict[str, str],
    limits: tuple[float, float],
) -> Iterator[str]:
    bar, (kerf_mm, shortest_mm) = group.bar, limits
    yard = "yard, " if bar.stock.owned else ""
    label = f"{group.count} x {yard}{form.text(bar.stock.length_mm, unit=True)}"
    yield (
        f'<text x="{LEFT - 8:g}" y="{top + BAR / 2 + 4:.1f}" text-anchor="end">'
        f"{escape(label)}</text>"
    )
    yield _box(LEFT, top, bar.stock.length_mm * scale, _WASTE, "")
    at = LEFT
    for cut in bar.cuts:
        width = cut.length_mm * scale
        yield _box(at, top, width, fills[cut.mark], "")
        yield from _label(at, top, width, cut.mark, form.text(cut.length_mm, unit=True))
        at += width + kerf_mm * scale
    if bar.rest_mm >= max(shortest_mm, 1e-3):
        width = bar.rest_mm * scale
        start = LEFT + bar.stock.length_mm * scale - width
        yield _box(start, top, width, _OFFCUT, ' stroke-dasharray="4 3"')
        yield from _label(start, top, width, "keep", form.text(bar.rest_mm, unit=True))


def _box(left: float, top: float, width: float, fill: str, more: str) -> str:
    return (
        f'<rect x="{left:.2f}" y="{top:.2f}" width="{width:.2f}" height="{BAR:g}" '
        f'fill="{fill}" stroke="#333333" stroke-width="0.6"{more}/>'
    )


def _label(left: float, top: float, width: float, mark: str, length: str) -> Iterator[str]:
    """Mark and length inside a piece; what does not fit is left to the table."""
    middle = left + width / 2
    for text, size in ((f"{mark}  {length}", 11.0), (mark, 11.0), (mark, 8.0)):
        if len(text) * _PER_LETTER * size / 11 <= width - 3:
            yield (
                f'<text x="{middle:.1f}" y="{top + BAR / 2 + size / 2 - 1.5:.1f}" '
                f'text-anchor="middle" font-size="{size:g}">{escape(text)}</text>'
            )
            return
