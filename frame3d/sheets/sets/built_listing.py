"""The frame as it was driven beside its design, as a schedule of the set."""

from __future__ import annotations

from frame3d.frame.model.members import Frame
from frame3d.sheets.layout.listing import Column, Listing
from frame3d.sheets.primitives.primitives import Align
from frame3d.site.survey import site_of
from frame3d.site.write.built_words import answer_counts, answer_text, in_order
from frame3d.units import LengthFormat


def built_listing(frame: Frame, lengths: LengthFormat) -> Listing:
    """What sockets decide, by the design and as built, what asks for most first."""
    site = site_of(frame)
    right = Align.RIGHT
    return Listing(
        title="Schedule of design and as built",
        columns=(
            Column(head="Part"), Column(head="Size", wraps=True), Column(head="Where", wraps=True),
            Column(head="Design", align=right), Column(head="As built", align=right),
            Column(head="Answer"), Column(head="Drive again"),
        ),
        rows=tuple(
            (one.mark, one.what, one.where, lengths.text(one.designed_mm),
             lengths.text(one.built_mm), answer_text(lengths, one), " ".join(one.sockets))
            for one in in_order(site)
        ),
        note="As built goes by the tops that were measured: a rail's holes lie as far apart as its "
        "hoops stand, a board ends where its bay does, a header goes with the hoop of its wall. "
        f"In all, {answer_counts(site)}.",
    )  # fmt: skip
