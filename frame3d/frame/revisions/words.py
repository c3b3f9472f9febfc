"""What a frame's sheets say of its revisions, and of what changed since an older build."""

from __future__ import annotations

from collections.abc import Iterable

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.frame.model.part_records import Change, PartChange, PartRecord, Since
from frame3d.frame.revisions.revision_index import NO_REVISION, revision_of

REVISION_HEADS = ("Rev.", "Date", "What", "Who")
_AS_BUILT = "AB"
"""What a title block has room for: two characters (ISO 7200, from memory)."""
GONE_HEADS = ("Old mark", "Use", "Description", "Length", "Qty", "Instead")


def revision_rows(frame: Frame) -> tuple[tuple[str, ...], ...]:
    """A row for each revision of the design, the last one first; above them one as built."""
    built: tuple[tuple[str, ...], ...] = ()
    if frame.survey is not None and frame.survey.tops:
        name, day = frame.survey.name_of("built"), frame.design.staking.built_on
        tops = f"{len(frame.survey.tops)} socket tops measured"
        built = ((_AS_BUILT, day, f"As built: {tops} ({name})", "-"),)
    return built + tuple((r.mark, r.date, r.what, r.who) for r in reversed(frame.design.revision))


def shown_revision(frame: Frame) -> str:
    """The index in the title block, which is that of the first row of the revisions."""
    is_built = frame.survey is not None and frame.survey.tops
    return _AS_BUILT if is_built else revision_of(frame.design)


def with_revision(frame: Frame, number: str) -> str:
    """The number of a set with its revision, for papers that are handed on without the sheets.

    Without it a guide or a request of one revision could not be told from that of the next.
    """
    index = shown_revision(frame)
    told = f"revision {index}" if index != NO_REVISION else ""
    return ", ".join(filter(None, [number if number != "-" or not told else "", told]))


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
    return (f"Changed since {since.words}, marks in a box: {told}.",)


def change_summary(since: Since) -> tuple[str, ...]:
    """Paragraphs on what became of the parts, for the cover's sheet."""
    same = sum(c.change is Change.SAME and not _is_bought(c) for c in since.changes)
    named = [
        f"Made instead of older parts: {_marks(since, Change.CHANGED)}.",
        f"New: {_marks(since, Change.NEW)}.",
        f"No longer made: {', '.join(r.mark for r in since.gone if not r.bought) or 'none'}.",
        f"The other {same} made parts have the shape that they had, and keep their marks: pieces "
        "of them that are made already still fit. How many are needed may have changed; the "
        "schedule of parts says so.",
        "Views have the marks of changed and new parts in a box. No mark that a part once had is "
        "given to another part.",
        f"Hardware, piece by piece: {_hardware(since)}.",
    ]
    return (f"Compared with {since.words}.", *named)


def cover_line(frame: Frame) -> str:
    """Where the cover says that changes are told; empty where there is nothing to tell."""
    if frame.since is None:
        return ""
    return f"What changed since {frame.since.words} is on the sheet Revisions."


def _marks(since: Since, change: Change) -> str:
    said = [
        f"{c.new.mark} (was {c.old.mark})" if c.old else c.new.mark
        for c in since.changes
        if c.change is change and c.new and not c.new.bought
    ]
    return ", ".join(said) or "none"


def _hardware(since: Since) -> str:
    """What is bought in other numbers than before, by mark, clamps as the halves that they are."""
    said = []
    for one in filter(_is_bought, since.changes):
        old, new = (record.count if record else 0 for record in (one.old, one.new))
        record = one.new or one.old
        if record and old != new:
            said.append(
                f"{record.mark} {new or 'none'} (were {old})"
                if old
                else f"{record.mark} {new} (new)"
            )
    return ", ".join(said) or "as before"


def _is_bought(one: PartChange) -> bool:
    return any(record.bought for record in (one.old, one.new) if record)


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
