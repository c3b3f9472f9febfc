"""The guide as one HTML file: it needs no network, and no script except to keep its ticks."""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape
from pathlib import Path

from frame3d import __version__
from frame3d.guide.steps.step_content import Guide, Picture, StepContent
from frame3d.guide.words.phrases import (
    document_title,
    fixing_phrase,
    marked_up,
    part_phrase,
    step_title,
    under_title,
)

__all__ = ["page_html"]

_STYLE, _SCRIPT = Path(__file__).with_name("guide.css"), Path(__file__).with_name("ticks.js")
_ROLE = re.compile(r' role="img" aria-label="[^"]*"')


def page_html(guide: Guide) -> str:
    """The whole file."""
    style = _STYLE.read_text(encoding="utf-8")
    script = _SCRIPT.read_text(encoding="utf-8")
    title = escape(document_title(guide))
    after = [*guide.steps[1:], None]
    steps = "\n".join(_step(*pair) for pair in zip(guide.steps, after, strict=True))
    key = escape(f"{guide.number} {guide.title}")
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta name="generator" content="frame3d {__version__}">\n'
        f"<title>{title}</title>\n<style>\n{style}</style>\n</head>\n"
        f'<body data-guide="{key}">\n<header>\n<h1>{title}</h1>\n'
        f"<p>{marked_up(under_title(guide))}</p>\n</header>\n<main>\n"
        f"{_front(guide)}\n{steps}\n</main>\n"
        f"<script>\n{script}</script>\n</body>\n</html>\n"
    )


def _front(guide: Guide) -> str:
    cautions = "".join(f"<li>{marked_up(text)}</li>" for text in guide.cautions)
    figures = "".join(
        f"<div><dt>{marked_up(name)}</dt><dd>{marked_up(text)}</dd></div>"
        for name, text in guide.figures
    )
    contents = "".join(
        f'<li><a href="#step-{told.step.number}">{marked_up(told.words.title)}</a></li>'
        for told in guide.steps
    )
    return (
        '<section class="cautions" aria-labelledby="cautions"><h2 id="cautions">Cautions</h2>'
        f"<ul>{cautions}</ul></section>\n"
        f'<section aria-labelledby="frame"><h2 id="frame">The frame</h2><dl>{figures}</dl>'
        f"<p>{marked_up(guide.hours)}. {marked_up(guide.assumption)}</p></section>\n"
        f'<nav aria-labelledby="steps"><h2 id="steps">Steps</h2><ol>{contents}</ol></nav>'
    )


def _step(told: StepContent, after: StepContent | None) -> str:
    number, words = told.step.number, told.words
    parts = [
        f'<section class="step" id="step-{number}" aria-labelledby="title-{number}">',
        f'<h2 id="title-{number}">{marked_up(step_title(told))}</h2>',
        f'<p class="aim">{marked_up(words.aim)}</p>',
    ]
    if words.cautions:
        parts.append(
            '<div class="cautions"><h3>Caution</h3><ul>'
            + "".join(f"<li>{marked_up(text)}</li>" for text in words.cautions)
            + "</ul></div>"
        )
    parts.append(_pictures(told.pictures))
    parts.append(_facts(told))
    parts.append("<h3>What to do</h3>")
    parts.append(_ticks(f"do-{number}", [("", text) for text in words.do], ordered=True))
    parts += _lists(told)
    parts.append('<div class="hold"><h3>Hold point: go on when these are so</h3>')
    parts.append(_ticks(f"hold-{number}", [(c.figure, c.what) for c in words.checks], last=True))
    parts.append(f"</div>{_onward(after)}</section>")
    return "\n".join(parts)


def _onward(after: StepContent | None) -> str:
    """Links from the end of a step: back to the list, and on to the next step."""
    on = (
        ""
        if after is None
        else (f'<a href="#step-{after.step.number}">Next: {marked_up(step_title(after))}</a>')
    )
    return f'<p class="next"><a href="#steps">All steps</a>{on}</p>'


def _facts(told: StepContent) -> str:
    rows = (
        ("People", told.people),
        ("Work", f"{told.hours}: {told.how_hours}"),
        ("Tools", ", ".join(told.tools)),
    )
    return (
        '<dl class="facts">'
        + "".join(f"<div><dt>{name}</dt><dd>{marked_up(text)}</dd></div>" for name, text in rows)
        + "</dl>"
    )


def _lists(told: StepContent) -> list[str]:
    number, found = told.step.number, []
    if told.words.why_bare:
        found.append(f'<p class="bare">No parts in this step. {marked_up(told.words.why_bare)}</p>')
    for name, what, phrases in (
        ("part", "Parts", [part_phrase(line) for line in told.parts]),
        ("fixing", "Hardware", [fixing_phrase(line) for line in told.fixings]),
    ):
        if phrases:
            all_of_it = " of the whole frame, to count" if told.words.why_bare else ""
            found.append(f"<h3>{what}{all_of_it}</h3>")
            found.append(_ticks(f"{name}-{number}", phrases, wide=True))
    return found


def _ticks(
    name: str,
    lines: Iterable[tuple[str, str]],
    *,
    ordered: bool = False,
    wide: bool = False,
    last: bool = False,
) -> str:
    """A list in which every line can be ticked off; what is strong stands first, or last."""
    tag = "ol" if ordered else "ul"
    items = []
    for index, (lead, text) in enumerate(lines, start=1):
        strong = f"<b>{marked_up(lead)}</b>" if lead else ""
        said = f"{marked_up(text)}: {strong}" if last else f"{strong} {marked_up(text)}".strip()
        items.append(
            f'<li><label><input type="checkbox" id="{name}-{index}"> <span>{said}'
            "</span></label></li>"
        )
    return f'<{tag} class="ticks{" wide" if wide else ""}">{"".join(items)}</{tag}>'


def _pictures(pictures: tuple[Picture, ...]) -> str:
    if not pictures:
        return ""
    figures = []
    for picture in pictures:
        size = "whole" if picture.width > 400 else "near"
        svg = _ROLE.sub(' aria-hidden="true"', picture.svg, count=1)
        figures.append(
            f'<figure class="{size}">{svg}<figcaption>{marked_up(picture.caption)}</figcaption>'
            "</figure>"
        )
    return f'<div class="pictures">{"".join(figures)}</div>'
