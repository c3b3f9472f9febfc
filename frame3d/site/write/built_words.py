"""What is told of a frame as it was driven: what fits, what is drilled, what is driven again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from frame3d.frame.describe.wording import lengths_of
from frame3d.frame.model.members import Frame
from frame3d.site.built.differences import WIDTH, Answer, Difference, sockets_again
from frame3d.site.survey import Site, site_of
from frame3d.units import LengthFormat
from frame3d.units.data_tables import DataColumn, DataTable, Json, Quantity, Value

_ORDER = {answer: place for place, answer in enumerate((
    Answer.AGAIN, Answer.LONGER, Answer.DRILL, Answer.CUT, Answer.PULLED, Answer.FITS,
))}  # fmt: skip
"""What asks for most stands first."""


def in_order(site: Site) -> tuple[Difference, ...]:
    """The differences, what asks for most first."""
    return tuple(sorted(site.differences, key=lambda one: _ORDER[one.answer]))


def answer_counts(site: Site) -> str:
    """How many of each answer there are."""
    counts = Counter(one.answer for one in site.differences)
    return "; ".join(f"{answer.value}: {counts[answer]}" for answer in _ORDER if counts[answer])


def answer_text(form: LengthFormat, one: Difference) -> str:
    """The answer in words; of a hoop that goes in with pulling by how much, and which way."""
    if one.what != WIDTH or one.answer is not Answer.PULLED:
        return one.answer.value
    way = "spread by" if one.off_mm > 0 else "pulled in by"
    return f"{way} {form.text(abs(one.off_mm), unit=True)}"


def as_built_note(frame: Frame) -> tuple[str, ...]:
    """What drawings of sockets say of a frame that is drawn as it was driven; else nothing."""
    if frame.designed is None:
        return ()
    return (
        "As built: each hoop is drawn square across, in the middle between its two socket tops, "
        "and sockets that are driven again where the design has them. What each top is off that "
        "by is in the schedule of design and as built.",
    )


def again_words(site: Site) -> Iterator[str]:
    """Which sockets are pulled and driven again, in a sentence; nothing for none."""
    if names := sockets_again(site.differences):
        yield f"Pull and drive again: {', '.join(names)}."


def size_words(site: Site, one: Difference) -> str:
    """A difference in words: the part, its size in the design, and as built."""
    form = lengths_of(site.frame)
    part = f"{one.mark}, " if one.mark else ""
    return (
        f"{part}{one.what}, {one.where}: {form.text(one.designed_mm, unit=True)} in the design, "
        f"{form.text(one.built_mm, unit=True)} as built"
    )


def differences_table(site: Site) -> DataTable:
    """Every size of the design that sockets decide, beside the same as built."""
    form = lengths_of(site.frame)
    rows: tuple[dict[str, Value], ...] = tuple(
        {"what": one.what, "where": one.where, "part": one.mark, "designed": one.designed_mm,
         "built": one.built_mm, "off": one.off_mm, "answer": answer_text(form, one),
         "again": " ".join(one.sockets)}
        for one in in_order(site)
    )  # fmt: skip
    length = Quantity.LENGTH
    return DataTable(
        key="differences", title="Design and as built",
        columns=(
            DataColumn(key="what", header="what"), DataColumn(key="where", header="where"),
            DataColumn(key="part", header="part"),
            DataColumn(key="designed", header="design", quantity=length),
            DataColumn(key="built", header="as built", quantity=length),
            DataColumn(key="off", header="difference", quantity=length),
            DataColumn(key="answer", header="answer"),
            DataColumn(key="again", header="sockets to drive again"),
        ),
        rows=rows,
    )  # fmt: skip


def built_record(frame: Frame) -> dict[str, Json] | None:
    """What ``summary.json`` says of a frame as it was driven; None for one that is not."""
    site = site_of(frame)
    if site.built is None:
        return None
    counts = Counter(one.answer for one in site.differences)
    return {
        "list": site.survey.name_of("built"),
        "date": frame.design.staking.built_on,
        "tops": len(site.built.tops),
        "answers": {answer.value: counts[answer] for answer in _ORDER},
        "drive_again": list(sockets_again(site.differences)),
        "hoops_mm": [round(y, 3) for y in frame.grid.driven_mm],
    }
