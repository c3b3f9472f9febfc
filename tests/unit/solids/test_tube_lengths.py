"""A tube that the kernel cannot bore whole is made all the same, by lengths."""

from __future__ import annotations

import pytest

from frame3d.errors import SolidError
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.measures import volume_mm3
from frame3d.frame.members import Role
from frame3d.solids import make
from frame3d.spec.reader import read_design


def test_ridge_sleeve_of_the_example_is_a_valid_solid(monkeypatch) -> None:
    """Its volume is that of axis and section; with the whole tube refused, lengths serve."""

    def refused(*_args: object, **_words: object) -> None:
        raise SolidError("refused on purpose")

    monkeypatch.setattr(make, "tube_shape", refused)
    frame = lay_out(read_design(example_paths()["long_meadow_gothic"]))
    count = next(part for part in frame.parts() if part.role is Role.RIDGE_JOINT)
    solid = make.make_solid(count.part, mark=count.mark, role=count.role)
    assert solid.volume_mm3 == pytest.approx(volume_mm3(count.part), rel=1e-5)
