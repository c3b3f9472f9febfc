"""Packs that cost least, against every choice; the kind of supplier of each thing."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.catalog import CatalogKind
from frame3d.catalog.designations import designation
from frame3d.design.tables.purchase import supply_group
from frame3d.takeoff.quantities.offers import Offer, best_cover
from frame3d.takeoff.quantities.prices import Per
from frame3d.takeoff.quantities.supply import Supply, group_of

OFFERS = st.lists(
    st.builds(
        Offer,
        pack=st.sampled_from([1, 5, 10, 12, 25]),
        per=st.sampled_from([Per.EACH, Per.PACK]),
        price=st.integers(0, 300).map(lambda cents: cents / 100),
    ),
    min_size=1, max_size=3,
)  # fmt: skip


@settings(deadline=None, max_examples=150, derandomize=True, database=None)
@given(st.integers(1, 30), OFFERS)
def test_no_packs_cost_less_and_hold_enough(needed: int, offers: list[Offer]) -> None:
    found = best_cover(needed, offers)
    assert sum(offer.pack * count for offer, count in found) >= needed
    cost = sum(round(100 * offer.pack_price) * count for offer, count in found)
    ranges = (range(-(-needed // offer.pack) + 1) for offer in offers)
    assert cost == min(
        sum(round(100 * offer.pack_price) * n for offer, n in zip(offers, counts, strict=True))
        for counts in itertools.product(*ranges)
        if sum(offer.pack * n for offer, n in zip(offers, counts, strict=True)) >= needed
    )
    # Each row of a list says how many packs of its own size hold its share, the last one too.
    smallest, count = found[-1]
    rest = needed - sum(offer.pack * n for offer, n in found[:-1])
    assert rest > 0 and -(-rest // smallest.pack) == count


def test_of_the_same_money_the_fewest_pieces() -> None:
    """12 at 1.00 each; a pack of 10 for 9.00 with two more at 1.00 is 11.00, two packs 18.00."""
    each = Offer(pack=1, per=Per.EACH, price=1.0)
    ten = Offer(pack=10, per=Per.PACK, price=9.0)
    assert best_cover(12, [each, ten]) == ((ten, 1), (each, 2))
    free = [Offer(pack=25, per=Per.PACK, price=0.0), Offer(pack=100, per=Per.PACK, price=0.0)]
    assert best_cover(30, free) == ((free[0], 2),)
    unknown = [Offer(pack=25, per=Per.PACK, price=None), ten]
    assert best_cover(12, unknown) == ((ten, 2),)
    assert best_cover(30, unknown[:1]) == ((unknown[0], 2),)


def test_groups_of_the_user_go_before_kinds() -> None:
    own = [supply_group("yard: steel + timber"), supply_group("shop: fasteners + 2x4 + Hex Nut")]
    assert group_of("NPS 1 STD", Supply.STEEL, own) == "yard"
    assert group_of("2x4", Supply.TIMBER, own) == "shop"
    assert group_of("hex nut M10", Supply.FASTENERS, own) == "shop"
    assert group_of("a film", Supply.COVER, own) == "cover"


@pytest.mark.parametrize(
    "text", ["", "x", ": steel", "yard:", "yard: +", "yard: steel, timber", f"{'y' * 25}: steel"]
)
def test_what_is_no_group_is_told(text: str) -> None:
    with pytest.raises(ValueError, match="it must be a name of at most 24 characters, a colon"):
        supply_group(text)


def test_standards_are_those_of_the_tables() -> None:
    """ASME B36.10M, B18.2.1, B18.5, ISO 4014/4017, 4032, 7089, 15480: as catalogues name them."""
    assert designation(CatalogKind.TUBE, "NPS 1 STD") == "ASME B36.10M"
    assert designation(CatalogKind.BOLT, "3/8-16", "hex") == "ASME B18.2.1"
    assert designation(CatalogKind.BOLT, "3/8-16", "carriage") == "ASME B18.5"
    assert designation(CatalogKind.BOLT, "M10", "hex") == "ISO 4014 or ISO 4017"
    assert designation(CatalogKind.NUT, "M10") == "ISO 4032"
    assert designation(CatalogKind.SCREW, "ST5.5") == "ISO 15480"
    assert designation(CatalogKind.TIMBER, "2x8") == "PS 20"
    assert designation(CatalogKind.TUBE, "no such tube") == ""
