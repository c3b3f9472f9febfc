"""Progress of a whole comparison, and what it costs by lists that were handed over."""

from __future__ import annotations

import pytest
from load_frames import small_frame

from frame3d.loads import comparison
from frame3d.loads.comparison import compared
from frame3d.takeoff import take_off


def test_progress_never_goes_back_and_goes_through_both_parts() -> None:
    told: list[tuple[str, int, int]] = []
    frame = small_frame(loads={"shapes": ["even snow"]})
    compared(frame, frame, lambda *what: told.append(what), workers=1)
    done = [step for _, step, _ in told]
    assert done == sorted(done)
    assert {total for _, _, total in told} == {100}
    assert done[0] == 0
    first = [step for what, step, _ in told if not what.startswith("trying")]
    assert max(first) < 35 <= min(step for what, step, _ in told if what.startswith("trying"))
    assert 85 < done[-1] <= 100


def test_no_file_is_opened_where_lists_were_handed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    """As the page compares designs of strangers, which may name any file."""
    opened: list[str] = []

    def beside(_: object, name: str) -> None:
        opened.append(name)
        raise AssertionError(name)

    monkeypatch.setattr(take_off, "file_beside", beside)
    frame = small_frame(order={"price_file": "/etc/passwd"}, loads={"shapes": ["even snow"]})
    assert comparison._cost(frame, {}) is None
    assert opened == []
    with pytest.raises(AssertionError):
        comparison._cost(frame, None)
    assert opened == ["/etc/passwd"]
