"""The guide as one HTML file: it needs no network, and no script except to keep its ticks."""

from __future__ import annotations

import re
from html import escape
from pathlib import Path

from frame3d import __version__
from frame3d.frame.describe.glossary import GLOSSARY
from frame3d.guide.steps.step_content import DayContent, Guide, Picture, StepContent
from frame3d.guide.words.phrases import (
    TickList,
    bare_note,
    document_title,
    facts_of,
    listings_of,
    lists_of_day,
    marked_up,
    step_title,
    under_title,
)

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
        f"{_front(guide)}\n{_days(guide)}{steps}\n{_glossary()}\n</main>\n"
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
        f'<nav aria-labelledby="steps"><h2 id="steps">Steps</h2><ol>{contents}</ol>'
        f"{_to_days(guide)}"
        '<p><a href="#words">Words used in this guide</a></p></nav>'
    )


def _to_days(guide: Guide) -> str:
    return '<p><a href="#days">Days</a></p>' if guide.days else ""


def _days(guide: Guide) -> str:
    """The order over days, where a crew is named."""
    if not guide.days:
        return ""
    about = "".join(f"<p>{marked_up(text)}</p>" for text in guide.about_days)
    if guide.day_troubles:
        items = "".join(f"<li>{marked_up(text)}</li>" for text in guide.day_troubles)
        about = f'<div class="cautions"><ul>{items}</ul></div>{about}'
    days = "".join(_day(day, number) for number, day in enumerate(guide.days, start=1))
    return (
        '<section class="days" aria-labelledby="days"><h2 id="days">Days</h2>'
        f"{about}{days}</section>\n"
    )


def _day(day: DayContent, number: int) -> str:
    parts = [f"<h3>{marked_up(day.title)}, {marked_up(day.hours)}</h3>"]
    for name, heading, lines in lists_of_day(day):
        items = "".join(
            f'<li><label><input type="checkbox" id="{name}-{number}-{index}"> '
            f"<span>{marked_up(line)}</span></label></li>"
            for index, line in enumerate(lines, start=1)
        )
        parts.append(f'<h4>{heading}</h4><ul class="ticks">{items}</ul>')
    return "".join(parts)


def _glossary() -> str:
    """The words of the trade, after the last step."""
    rows = "".join(
        f"<div><dt>{marked_up(term.called)}</dt><dd>{marked_up(term.meaning)}</dd></div>"
        for term in GLOSSARY
    )
    return (
        '<section class="words" aria-labelledby="words"><h2 '
        f'id="words">Words</h2><dl>{rows}</dl></section>'
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
    parts.append('<dl class="facts">' + "".join(
        f"<div><dt>{name}</dt><dd>{marked_up(text)}</dd></div>" for name, text in facts_of(told)
    ) + "</dl>")  # fmt: skip
    end = ""
    for listing in listings_of(told):
        begin, end = ('<div class="hold">', "</div>") if listing.name == "hold" else ("", "")
        parts.append(f"{begin}<h3>{listing.heading}</h3>")
        parts.append(_ticks(listing, number))
        if listing.name == "do" and (note := bare_note(told)):
            parts.append(f'<p class="bare">{marked_up(note)}</p>')
    parts.append(f"{end}{_onward(after)}</section>")
    return "\n".join(parts)


def _onward(after: StepContent | None) -> str:
    """Links from the end of a step: back to the list, and on to the next step."""
    on = (
        ""
        if after is None
        else (f'<a href="#step-{after.step.number}">Next: {marked_up(step_title(after))}</a>')
    )
    return f'<p class="next"><a href="#steps">All steps</a>{on}</p>'


def _ticks(listing: TickList, number: int) -> str:
    """A list in which every line can be ticked off."""
    items = []
    for index, (begins, text, ends) in enumerate(listing.lines, start=1):
        before, after = (f"<b>{marked_up(b)}</b>" if b else "" for b in (begins, ends))
        said = f"{marked_up(text)}: {after}" if ends else f"{before} {marked_up(text)}".strip()
        items.append(
            f'<li><label><input type="checkbox" id="{listing.name}-{number}-{index}"> '
            f"<span>{said}</span></label></li>"
        )
    tag = "ol" if listing.name == "do" else "ul"
    wide = " wide" if listing.name in ("part", "fixing") else ""
    return f'<{tag} class="ticks{wide}">{"".join(items)}</{tag}>'


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
