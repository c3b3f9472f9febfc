"""Lines of lists as they are read, on the page and in print alike."""

from __future__ import annotations

from html import escape

from frame3d.frame.describe.direction import isolated
from frame3d.frame.describe.wording import tied
from frame3d.guide.steps.step_content import FixingLine, Guide, PartLine, StepContent

__all__ = [
    "document_title", "fixing_phrase", "marked_up", "part_phrase", "step_title", "under_title",
]  # fmt: skip

_LONGEST_PLACE = 58


def marked_up(text: str) -> str:
    """Text for HTML; a number stays on one line with its fraction and its unit."""
    return escape(tied(text))


def document_title(guide: Guide) -> str:
    """What the guide is called."""
    return f"{isolated(guide.title)}: how to put it up"


def under_title(guide: Guide) -> str:
    """What stands under the title: number and owner, where the design gives them."""
    said = [text for text in (guide.number, guide.owner) if text not in ("", "-")]
    return ", ".join(map(isolated, said))


def step_title(told: StepContent) -> str:
    """The heading of a step."""
    return f"{told.step.number}. {told.words.title}"


def part_phrase(line: PartLine) -> tuple[str, str]:
    """A part as count and mark, and the rest of the line."""
    said = [f"{line.role}, {line.what}"]
    if line.length:
        said.append(f"{line.length} long")
    each = "each" if line.count > 1 else ""
    said.append(f"{line.mass} {each}".strip())
    if line.hands > 1:
        said.append(f"carried by {line.hands}")
    return f"{line.count} × {line.mark}", ", ".join(said) + _where(line.where)


def fixing_phrase(line: FixingLine) -> tuple[str, str]:
    """Hardware as count and mark, and the rest of the line."""
    text = f"{line.what} {line.holds}".strip()
    where = "" if line.holds.startswith("with ") else _where(line.where)
    return f"{line.count} × {line.mark}", text + where


def _where(text: str) -> str:
    """A place in brackets; of a long one only the sides, as the steps tell the rest."""
    if len(text) > _LONGEST_PLACE:
        text = ", ".join(part.partition(":")[0] for part in text.split("; "))
    return f" ({text})" if text else ""
