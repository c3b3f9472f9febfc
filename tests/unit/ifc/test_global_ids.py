"""Identifiers: of the form that the standard asks for, and the same again."""

from __future__ import annotations

import uuid

import ifcopenshell.guid
import pytest

from frame3d.ifc.global_ids import GlobalIds, shortened


@pytest.mark.parametrize("number", [0, 1, 2**127, 2**128 - 1, uuid.NAMESPACE_DNS.int])
def test_shortened_as_another_program_does(number: int) -> None:
    value = uuid.UUID(int=number)
    assert shortened(value) == ifcopenshell.guid.compress(value.hex)


def test_the_same_again_and_another_for_another() -> None:
    ids = GlobalIds("Tunnel", "T-01", "-")
    assert ids.of("bolt", 3, None) == GlobalIds("Tunnel", "T-01", "-").of("bolt", 3, None)
    others = {ids.of("bolt", 3), ids.of("bolt", 4), ids.of("nut", 3), GlobalIds("x").of("bolt", 3)}
    assert len(others) == 4
    value = uuid.UUID(ifcopenshell.guid.expand(ids.of("bolt", 3)))
    assert (value.version, value.variant) == (5, uuid.RFC_4122)
