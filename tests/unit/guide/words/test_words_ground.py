"""Staking out in the guide, against what staking out itself tells."""

from __future__ import annotations

import pytest
from walled_designs import example

from frame3d.design.reading.reader import design_from_mapping
from frame3d.frame.lay_out import lay_out
from frame3d.guide.make_guide import guide_of
from frame3d.site.survey import survey_site
from frame3d.site.write.site_report import figures


@pytest.mark.parametrize(
    ("name", "allowed"),
    [
        ("long_meadow_gothic", "1 in"),
        ("long_meadow_gothic", "0.3 in"),
        ("long_meadow_gothic", "0.01 in"),
        ("long_meadow_quonset", "35 mm"),
        ("long_meadow_quonset", "0.4 mm"),
    ],
)
def test_the_diagonals_may_differ_by_what_staking_out_allows(name: str, allowed: str) -> None:
    """Both take tolerances.diagonals, whatever the tolerance of a socket."""
    more = example(name)
    more["tolerances"] = {"diagonals": allowed, "socket_spacing": "3 in"}
    frame = lay_out(design_from_mapping(more))
    site = dict(figures(survey_site(frame)))
    slack = site["They may differ by"].partition(";")[0]
    told = [
        check
        for step in guide_of(frame, drawn=False).steps
        for check in step.words.checks
        if "diagonals" in check.what.lower()
        and "corner" in check.what
        or check.what == "Both diagonals"
    ]
    assert [check.figure.partition("; ")[2] for check in told] == [
        f"the two within {slack} of each other"
    ] * 2
    assert told[0].figure.partition("; ")[0] == site["Both diagonals"]


def test_a_limit_is_not_told_as_more_than_it_is() -> None:
    """0.3 in is between 1/4 and 5/16 on a tape: 1/4 is told."""
    more = example("long_meadow_gothic", tolerances={"diagonals": "0.3 in"})
    site = dict(figures(survey_site(lay_out(design_from_mapping(more)))))
    assert site["They may differ by"].startswith('1/4"; ')


def test_each_service_is_to_be_located_before_anything_is_driven() -> None:
    """The distance is that of the plot plan: to the nearest socket."""
    more = example(
        "long_meadow_quonset",
        service=[
            {"name": "Spring pipe", "kind": "water", "side": "left", "distance": "3 m"},
            {"name": "Old line", "laid": "overhead", "height": "9 m", "distance": "30 m"},
        ],
    )
    frame = lay_out(design_from_mapping(more))
    checks = guide_of(frame, drawn=False).steps[0].words.checks
    told = {check.what: check.figure for check in checks}
    (pipe,) = [what for what in told if what.startswith("Spring pipe, water, buried: drawn")]
    assert told[pipe] == "located and marked" and "socket" in pipe
    (line,) = [what for what in told if what.startswith("Old line, other, overhead")]
    assert told[line] == "9000 mm or more"
