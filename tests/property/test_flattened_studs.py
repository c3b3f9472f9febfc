"""Flat tops of tube studs keep within the hoop in whole designs."""

from __future__ import annotations

from campaign import examples
from flat_tops import (
    is_round_where_it_is_clamped,
    is_under_the_cover,
    keeps_its_bolt,
    pairs_are_one_part,
    tops,
)
from hypothesis import HealthCheck, Phase, assume, given, settings
from whole_designs import designs

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out


@settings(
    max_examples=examples(25),
    deadline=None,
    derandomize=True,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
@given(designs(most_bays=3, furnished=True))
def test_flat_tops_keep_under_the_cover_and_hold_their_bolts(mapping: dict) -> None:
    """Any design with an end wall, its studs made tubes with flat tops."""
    for wall in mapping["end_wall"]:
        wall |= {"studs": "tube", "top": "flattened"}
        wall.pop("foot", None)
    # What is overhead and at the sides only lets more designs fail here.
    mapping.pop("tie", None)
    mapping.pop("side_opening", None)
    try:
        frame = lay_out(design_from_mapping(mapping))
    except (DesignError, DesignFaults):
        assume(False)
        raise
    found = list(tops(frame))
    assume(found)
    for top in found:
        is_under_the_cover(frame, top)
        keeps_its_bolt(frame, top)
        is_round_where_it_is_clamped(frame, top)
    pairs_are_one_part(frame)
