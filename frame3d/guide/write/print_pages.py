"""The guide on paper: the same words, lists and drawings, a page or two for each step."""

from __future__ import annotations

from collections.abc import Iterable

from frame3d.design.tables.whole_design import SheetStandard
from frame3d.frame.describe.direction import as_seen
from frame3d.frame.model.members import Frame
from frame3d.guide.steps.step_content import Guide, StepContent
from frame3d.guide.words.phrases import (
    document_title,
    fixing_phrase,
    marked_up,
    part_phrase,
    step_title,
    under_title,
)

__all__ = ["guide_pdf"]

_SIZES = {SheetStandard.ISO: (210.0, 297.0), SheetStandard.US: (215.9, 279.4)}
"""Upright A4 (ISO 216) and A (ASME Y14.1), mm."""
_FOOT = "Nothing here is a statement about strength; see the cautions on page 1."
_ASCII = "".join(map(chr, range(32, 127)))
_STYLE = """
body { font-size: 8pt; line-height: 1.28; color: #1b1f23; }
h1 { font-size: 19pt; margin: 0; }
h2 { font-size: 15pt; margin: 0 0 2pt 0; color: #0b4f8a; }
h3 { font-size: 9.5pt; margin: 0 0 2pt 0; padding-top: 5pt; color: #0b4f8a; }
h3.hold { color: #7a2c00; }
p { margin: 0; }
p.under { color: #4a5259; margin-bottom: 4pt; }
p.aim { font-size: 9pt; margin-bottom: 3pt; }
p.tick { margin-left: 12pt; text-indent: -12pt; }
p.small { font-size: 7pt; line-height: 1.2; }
p.caution { margin-left: 8pt; text-indent: -8pt; color: #7a2c00; }
"""


def guide_pdf(frame: Frame, guide: Guide) -> bytes:
    """The file."""
    # Only here: pymupdf takes longer to load than the page needs.
    from frame3d.sheets.write.flow_pages import Chapter, FlowPicture, flow_pdf

    chapters = [Chapter(title="Cautions and figures", head=_front_head(guide),
                        body=_front(guide))]  # fmt: skip
    for told in guide.steps:
        chapters.append(Chapter(
            title=step_title(told), head=_head(told), body=_body(told),
            pictures=tuple(
                FlowPicture(svg=p.svg, width=p.width, height=p.height, caption=p.caption,
                            is_wide=p.width > 400)
                for p in told.pictures
            ),
        ))  # fmt: skip
    text = "".join(chapter.head + "".join(chapter.body) for chapter in chapters)
    captions = "".join(p.caption for told in guide.steps for p in told.pictures)
    title = document_title(guide)
    return flow_pdf(
        chapters,
        size_mm=_SIZES[frame.design.output.sheets],
        style=_STYLE,
        title=title,
        foot=as_seen(f"{guide.title}. {_FOOT}", [guide.title]),
        letters=text + captions + guide.title + _FOOT + "☐\u00a0" + _ASCII,
    )


def _front_head(guide: Guide) -> str:
    title, under = marked_up(document_title(guide)), marked_up(under_title(guide))
    return f"<h1>{title}</h1><p class='under'>{under}</p>"


def _front(guide: Guide) -> tuple[str, ...]:
    figures = [f"{marked_up(name)}: <b>{marked_up(text)}</b>" for name, text in guide.figures]
    first, *cautions = _cautions(guide.cautions)
    return (
        f"<h3 class='hold'>Cautions</h3>{first}", *cautions,
        *_lines("The frame", [f"<p>{line}</p>" for line in figures]),
        *_ticks("Steps", [marked_up(step_title(told)) for told in guide.steps]),
        f"<h3>Hours</h3><p><b>{marked_up(guide.hours)}.</b> {marked_up(guide.assumption)}</p>",
    )  # fmt: skip


def _cautions(cautions: Iterable[str]) -> list[str]:
    return [f"<p class='caution'><b>!</b> {marked_up(text)}</p>" for text in cautions]


def _head(told: StepContent) -> str:
    words = told.words
    return (
        f"<h2>{marked_up(step_title(told))}</h2><p class='aim'>{marked_up(words.aim)}</p>"
        f"{''.join(_cautions(words.cautions))}"
    )


def _body(told: StepContent) -> tuple[str, ...]:
    words = told.words
    found = [
        f"<p><b>People:</b> {marked_up(told.people)}. <b>Work:</b> {marked_up(told.hours)} "
        f"({marked_up(told.how_hours)}).</p>",
        f"<p><b>Tools:</b> {marked_up(', '.join(told.tools))}.</p>",
        *_ticks("What to do", [marked_up(text) for text in words.do]),
        *_ticks("Hold point: go on when these are so", [
            f"{marked_up(check.what)}: <b>{marked_up(check.figure)}</b>, found\u00a0______"
            for check in words.checks
        ], kind="hold"),
    ]  # fmt: skip
    if words.why_bare:
        found.append(f"<p>No parts in this step. {marked_up(words.why_bare)}</p>")
    whole = words.why_bare and told.parts
    more, size = (" of the whole frame, to count", "small") if whole else ("", "")
    for name, phrases in (
        ("Parts", [part_phrase(line) for line in told.parts]),
        ("Hardware", [fixing_phrase(line) for line in told.fixings]),
    ):
        lines = [f"<b>{marked_up(lead)}</b> {marked_up(text)}" for lead, text in phrases]
        found += _ticks(f"{name}{more}", lines, size=size)
    return tuple(found)


def _ticks(heading: str, lines: list[str], *, kind: str = "", size: str = "") -> list[str]:
    """A heading and lines to tick off."""
    return _lines(heading, [f"<p class='tick {size}'>☐ {line}</p>" for line in lines], kind)


def _lines(heading: str, lines: list[str], kind: str = "") -> list[str]:
    """A heading and lines, as blocks: the heading stays with the first of them."""
    if not lines:
        return []
    first, *rest = lines
    return [f"<h3 class='{kind}'>{heading}</h3>{first}", *rest]
