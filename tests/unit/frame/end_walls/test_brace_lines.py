"""The search for a brace leaves out the heights below one that is too steep."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

import pytest
from wall_walks import WallWalk

from frame3d.design.reading.reader import design_from_mapping
from frame3d.errors import DesignError, DesignFaults
from frame3d.frame.lay_out import lay_out
from frame3d.frame.wall_bracing import brace_places
from frame3d.frame.wall_bracing.brace_lines import BraceLine


def test_a_brace_is_steeper_the_lower_it_begins(monkeypatch: pytest.MonkeyPatch) -> None:
    """In every wall of random designs, whose braces lean at many angles."""
    angles: dict[tuple, dict[float, float]] = defaultdict(dict)

    def line_of(wall, brace) -> BraceLine:
        found = searched_for(wall, brace)
        angles[id(wall), brace.upright.x_mm, brace.side][brace.height_mm] = found.angle_rad
        walls.append(wall)  # kept, so that no other gets its number
        return found

    walls: list[object] = []
    searched_for = brace_places.line_of
    monkeypatch.setattr(brace_places, "line_of", line_of)
    for number in range(25):
        try:
            lay_out(design_from_mapping(WallWalk(number).design))
        except (DesignError, DesignFaults):
            continue
    pairs = [pair for one in angles.values() for pair in pairwise(sorted(one.items()))]
    assert len(pairs) > 200
    assert [pair for pair in pairs if pair[0][1] <= pair[1][1]] == []
