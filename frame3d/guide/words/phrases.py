"""What a step says, in the order and the words in which page and print alike show it."""

from __future__ import annotations

from html import escape

from msgspec import Struct

from frame3d.frame.describe.direction import isolated
from frame3d.frame.describe.wording import tied
from frame3d.guide.steps.step_content import (
    DayContent,
    FixingLine,
    Guide,
    PartLine,
    StepContent,
)

_LONGEST_PLACE = 58


class TickList(Struct, frozen=True, kw_only=True):
    """Lines to tick off under a heading, each as it begins, goes on and ends; the ends are bold.

    Parameters
    ----------
    name : str
        "do", "part", "fixing" or "hold".
    heading : str
    lines : tuple of (str, str, str)
    """

    name: str
    heading: str
    lines: tuple[tuple[str, str, str], ...]


def marked_up(text: str) -> str:
    """Text for HTML; a number stays on one line with its fraction and its unit."""
    return escape(tied(text))


def document_title(guide: Guide) -> str:
    """What the guide is called."""
    return f"{isolated(guide.title)}: assembly guide"


def under_title(guide: Guide) -> str:
    """What stands under the title: number and owner, where the design gives them."""
    said = [text for text in (guide.number, guide.owner) if text not in ("", "-")]
    return ", ".join(map(isolated, said))


def step_title(told: StepContent) -> str:
    """The heading of a step."""
    return f"{told.step.number}. {told.words.title}"


def facts_of(told: StepContent) -> tuple[tuple[str, str], ...]:
    """Who does a step, how long it takes and what with."""
    return (
        ("People", told.people),
        ("Work", f"{told.hours}: {told.how_hours}"),
        ("Tools", ", ".join(told.tools)),
    )


def bare_note(told: StepContent) -> str:
    """Why a step has no parts of its own, or nothing."""
    why = told.words.why_bare
    return f"No parts in this step. {why}" if why else ""


def listings_of(told: StepContent) -> list[TickList]:
    """What is done, what it takes and what must be so before the next step."""
    words = told.words
    whole = " of the whole frame, to count" if words.why_bare else ""
    found = (
        TickList(name="do", heading="What to do", lines=tuple(("", text, "") for text in words.do)),
        TickList(name="part", heading=f"Parts{whole}",
                lines=tuple((*_part_phrase(line), "") for line in told.parts)),
        TickList(name="fixing", heading=f"Hardware{whole}",
                lines=tuple((*_fixing_phrase(line), "") for line in told.fixings)),
        TickList(name="hold", heading="Stop: check before you go on",
                lines=tuple(("", check.what, check.figure) for check in words.checks)),
    )  # fmt: skip
    return [listing for listing in found if listing.lines]


def _part_phrase(line: PartLine) -> tuple[str, str]:
    """A part as count and mark, and the rest of the line."""
    # Some kinds of part begin with the same words as their use: gusset plate, film channel.
    said = [line.what if line.what.startswith(line.role) else f"{line.role}, {line.what}"]
    if line.length:
        said.append(f"{line.length} long")
    each = "each" if line.count > 1 else ""
    said.append(f"{line.mass} {each}".strip())
    if line.hands > 1:
        said.append(f"carried by {line.hands}")
    return f"{line.count} × {line.mark}", ", ".join(said) + _where(line.where)


def _fixing_phrase(line: FixingLine) -> tuple[str, str]:
    """Hardware as count and mark, and the rest of the line."""
    text = f"{line.what} {line.holds}".strip()
    where = "" if line.holds.startswith("with ") else _where(line.where)
    return f"{line.count} × {line.mark}", text + where


def _where(text: str) -> str:
    """A place in brackets; of a long one only the sides, as the steps tell the rest."""
    if len(text) > _LONGEST_PLACE:
        text = ", ".join(part.partition(":")[0] for part in text.split("; "))
    return f" ({text})" if text else ""


def lists_of_day(day: DayContent) -> list[tuple[str, str, tuple[str, ...]]]:
    """What is told of a day: for each list a name, a heading and its lines."""
    found = (
        ("bring", "Must be on site", day.bring),
        ("work", "Work", tuple(f"{text}, {hours}" for text, hours in day.work)),
        ("short", "If the day runs out", day.short),
        ("leave", "Before leaving it overnight", day.leave),
    )
    return [one for one in found if one[2]]
