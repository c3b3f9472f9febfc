"""What a frame's sheets say of its revisions, and of what changed since an older build."""

from __future__ import annotations

from collections.abc import Iterable

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.part_records import Change, PartRecord, Since

REVISION_HEADS = ("Rev.", "Date", "What", "Who")
GONE_HEADS = ("Old mark", "Use", "Description", "Length", "Qty", "Instead")

__all__ = [
    "GONE_HEADS", "REVISION_HEADS", "change_notes", "change_summary", "change_word", "gone_rows",
    "revision_rows",
]  # fmt: skip


def revision_rows(frame: Frame) -> tuple[tuple[str, ...], ...]:
    """A row for each revision of the design, the last one first."""
    return tuple((r.mark, r.date, r.what, r.who) for r in reversed(frame.design.revision))


def change_word(frame: Frame, mark: str) -> str:
    """What a list says of a part: ``new``, ``instead of T1``; empty where nothing changed."""
    one = frame.since.of(mark) if frame.since else None
    if one is None or one.change is Change.SAME:
        return _count_word(frame, mark)
    return f"instead of {one.old.mark}" if one.old else "new"


def _count_word(frame: Frame, mark: str) -> str:
    """By how many more or fewer a part that did not change is needed."""
    one = frame.since.of(mark) if frame.since else None
    more = one.new.count - one.old.count if one and one.new and one.old else 0
    return f"{abs(more)} {'more' if more > 0 else 'fewer'}" if more else ""


def change_notes(frame: Frame, marks: Iterable[str]) -> tuple[str, ...]:
    """A note of those parts that are changed or new, for the sheet that they are on."""
    since = frame.since
    if since is None:
        return ()
    words = {mark: change_word(frame, mark) for mark in marks if mark in since.altered}
    if not words:
        return ()
    told = ", ".join(f"{mark} {word}" for mark, word in words.items())
    return (f"Changed since {_older(since)}, marks in a box: {told}.",)


def change_summary(since: Since) -> tuple[str, ...]:
    """Paragraphs on what became of the parts, for the cover's sheet."""
    named = [
        (f"Instead of older parts: {_marks(since, Change.CHANGED)}."),
        (f"New: {_marks(since, Change.NEW)}."),
        (f"Made no more: {', '.join(r.mark for r in since.gone) or 'none'}."),
        f"The other {sum(c.change is Change.SAME for c in since.changes)} parts are the same and "
        "keep their marks: what is made of them already still fits.",
        "Views and schedules have the marks of changed and new parts in a box, or say so beside "
        "them. No mark that a part once had is given to another part.",
    ]
    return (f"Compared with {_older(since)}.", *named)


def _marks(since: Since, change: Change) -> str:
    said = [
        f"{c.new.mark} (was {c.old.mark})" if c.old else c.new.mark
        for c in since.changes
        if c.change is change and c.new
    ]
    return ", ".join(said) or "none"


def _older(since: Since) -> str:
    return "the older build" if since.revision == "-" else f"revision {since.revision}"


def gone_rows(frame: Frame) -> tuple[tuple[str, ...], ...]:
    """A row for each made part of the older build that is made no more."""
    if frame.since is None:
        return ()
    instead = {c.old.mark: c.new.mark for c in frame.since.changes if c.old and c.new}
    return tuple(
        (r.mark, r.role, r.description, _length(r, frame), str(r.count), instead.get(r.mark, ""))
        for r in frame.since.gone
        if not r.bought
    )


def _length(record: PartRecord, frame: Frame) -> str:
    return "" if record.length_mm is None else lengths_of(frame).text(record.length_mm)
