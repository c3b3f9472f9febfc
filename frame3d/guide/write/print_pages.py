"""The guide on paper: the same words, lists and drawings, a page or two for each step."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.frame.describe.direction import UNSEEN, as_seen, names_running_left
from frame3d.frame.describe.glossary import GLOSSARY
from frame3d.frame.model.members import Frame
from frame3d.guide.steps.step_content import Guide, StepContent
from frame3d.guide.words.phrases import (
    bare_note,
    document_title,
    facts_of,
    listings_of,
    lists_of_day,
    marked_up,
    step_title,
    under_title,
)

if TYPE_CHECKING:
    from frame3d.sheets.write.flow_pages import Line

SIZES = {SheetStandard.ISO: (210.0, 297.0), SheetStandard.US: (215.9, 279.4)}
"""Upright A4 (ISO 216) and A (ASME Y14.1), mm."""
_FOOT = "Nothing here says anything about strength; see the cautions on page 1."
_BLACK, _BLUE, _BROWN, _GREY = "#1b1f23", "#0b4f8a", "#7a2c00", "#4a5259"
_TEXT: dict[str, float | str] = {"fontSize": 8, "leading": 10.2, "textColor": _BLACK}
_HEADING: dict[str, float | str] = {
    "fontSize": 9.5,
    "leading": 12,
    "spaceBefore": 5,
    "spaceAfter": 2,
    "textColor": _BLUE,
}
_STYLES: dict[str, dict[str, float | str]] = {
    "title": {"fontSize": 19, "leading": 24, "textColor": _BLACK},
    "step": {"fontSize": 15, "leading": 19, "spaceAfter": 2, "textColor": _BLUE},
    "day": _HEADING | {"fontSize": 12, "leading": 15, "spaceBefore": 9},
    "under": _TEXT | {"textColor": _GREY, "spaceAfter": 4},
    "aim": _TEXT | {"fontSize": 9, "leading": 11.5, "spaceAfter": 3},
    "heading": _HEADING,
    "hold": _HEADING | {"textColor": _BROWN},
    "text": _TEXT,
    "caution": _TEXT | {"leftIndent": 8, "firstLineIndent": -8, "textColor": _BROWN},
    "tick": _TEXT | {"leftIndent": 12, "firstLineIndent": -12},
    "small": _TEXT | {"fontSize": 7, "leading": 8.4, "leftIndent": 12, "firstLineIndent": -12},
}
"""Sizes and distances in points."""
_ORDER = "do", "hold", "part", "fixing"


def guide_pdf(frame: Frame, guide: Guide) -> bytes:
    """The file."""
    # Only here: what writes a PDF takes longer to load than the page needs.
    from frame3d.sheets.write.flow_pages import Chapter, FlowPicture, flow_pdf

    names = names_running_left(frame.design)

    def seen(lines: Iterable[Line]) -> tuple[Line, ...]:
        return tuple((kind, _seen(text, names)) for kind, text in lines)

    title = document_title(guide)
    head = [("title", f"<b>{marked_up(title)}</b>"), ("under", marked_up(under_title(guide)))]
    chapters = [Chapter(title="Cautions and figures", head=seen(head),
                        body=tuple(map(seen, _front(guide))))]  # fmt: skip
    if guide.days:
        chapters.append(
            Chapter(title="Days", head=seen([("step", "<b>Days</b>")]),
                    body=tuple(map(seen, _days(guide))))
        )  # fmt: skip
    for told in guide.steps:
        chapters.append(Chapter(
            title=step_title(told), head=seen(_head(told)), body=tuple(map(seen, _body(told))),
            pictures=tuple(
                FlowPicture(svg=p.svg, width=p.width, height=p.height, is_wide=p.width > 400,
                            caption=_seen(marked_up(p.caption), names))
                for p in told.pictures
            ),
        ))  # fmt: skip
    words = [[("text", f"<b>{marked_up(term.called)}:</b> {marked_up(term.meaning)}.")]
             for term in GLOSSARY]  # fmt: skip
    chapters.append(
        Chapter(title="Words", head=(("step", "<b>Words</b>"),), body=tuple(map(seen, words)))
    )
    return flow_pdf(
        chapters,
        size_mm=SIZES[frame.design.output.sheets],
        styles=_STYLES,
        title=title,
        foot=as_seen(f"{guide.title}. {_FOOT}", [guide.title]),
    )


def _seen(text: str, names: Sequence[str]) -> str:
    """``text`` with ``names`` in it letter by letter as they are seen, each on one line."""
    for name in names:
        text = text.replace(marked_up(name), marked_up(as_seen(name)).replace(" ", "\u00a0"))
    return text.translate(UNSEEN)


def _front(guide: Guide) -> list[list[Line]]:
    return [
        *_headed(("hold", "Cautions"), _cautions(guide.cautions)),
        *_headed(("heading", "The frame"), [
            ("text", f"{marked_up(name)}: <b>{marked_up(text)}</b>") for name, text in guide.figures
        ]),
        *_headed(("heading", "Steps"), [
            ("tick", f"☐ {marked_up(step_title(told))}") for told in guide.steps
        ]),
        *_headed(("heading", "Hours"), [
            ("text", f"<b>{marked_up(guide.hours)}.</b> {marked_up(guide.assumption)}")
        ]),
    ]  # fmt: skip


def _days(guide: Guide) -> list[list[Line]]:
    """The days: the title of each stays with the first of its lists."""
    found: list[list[Line]] = [[line] for line in _cautions(guide.day_troubles)]
    found += [[("text", marked_up(text))] for text in guide.about_days]
    for day in guide.days:
        blocks: list[list[Line]] = []
        for name, heading, lines in lists_of_day(day):
            kind = "hold" if name in ("short", "leave") else "heading"
            blocks += _headed((kind, heading), [("tick", f"☐ {marked_up(line)}") for line in lines])
        title = [("day", f"<b>{marked_up(day.title)}</b>"), ("text", marked_up(day.hours))]
        found += [[*title, *blocks[0]], *blocks[1:]]
    return found


def _cautions(cautions: Iterable[str]) -> list[Line]:
    return [("caution", f"<b>!</b> {marked_up(text)}") for text in cautions]


def _head(told: StepContent) -> list[Line]:
    return [
        ("step", f"<b>{marked_up(step_title(told))}</b>"), ("aim", marked_up(told.words.aim)),
        *_cautions(told.words.cautions),
    ]  # fmt: skip


def _body(told: StepContent) -> list[list[Line]]:
    found = [[("text", f"<b>{name}:</b> {marked_up(text)}.")] for name, text in facts_of(told)]
    listings = {listing.name: listing for listing in listings_of(told)}
    note = bare_note(told)
    for name in _ORDER:
        if name == "part" and note:
            found.append([("text", marked_up(note))])
        if name in listings:
            kind = "hold" if name == "hold" else "heading"
            size = "small" if note and name in ("part", "fixing") else "tick"
            lines = [(size, f"☐ {_line(*line)}") for line in listings[name].lines]
            found += _headed((kind, listings[name].heading), lines)
    return found


def _line(begins: str, text: str, ends: str) -> str:
    """A line of a list; what ends it is measured, with room for what is found."""
    if ends:
        return f"{marked_up(text)}: <b>{marked_up(ends)}</b>, found\u00a0______"
    return f"<b>{marked_up(begins)}</b> {marked_up(text)}" if begins else marked_up(text)


def _headed(heading: Line, lines: list[Line]) -> list[list[Line]]:
    """Lines as blocks: the heading stays with the first of them."""
    kind, text = heading
    first, *rest = lines
    return [[(kind, f"<b>{text}</b>"), first], *([line] for line in rest)]
