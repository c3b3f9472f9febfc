"""Where in the grid the members of a part go, in words.

``left and right: hoops 1 to 25, 2 at each`` says it for two hundred bolts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from frame3d.frame.model.members import Member
from frame3d.frame.model.roles import Side

_MOST_SHOWN = 12


def grid_text(members: Sequence[Member]) -> str:
    """The sides and hoops at which ``members`` stand."""
    said = {}
    for side in (Side.LEFT, Side.RIGHT, Side.MIDDLE):
        here = [member for member in members if member.spot.side is side]
        if here:
            said[side] = _hoops(here)
    texts = []
    if Side.LEFT in said and said.get(Side.LEFT) == said.get(Side.RIGHT):
        texts.append(f"left and right: {said.pop(Side.LEFT)}")
        said.pop(Side.RIGHT)
    texts += [f"{side.value}: {text}" for side, text in said.items()]
    return "; ".join(texts)


def numbers_text(numbers: Sequence[int]) -> str:
    """Rising numbers as text, consecutive ones drawn together: ``1 to 4, 7``."""
    return ", ".join(f"{a} to {b}" if a != b else f"{a}" for a, b in _runs(list(numbers)))


def _hoops(members: Iterable[Member]) -> str:
    single: Counter[int] = Counter()
    spans: Counter[tuple[int, int]] = Counter()
    for member in members:
        first, last = member.spot.hoop, member.spot.to_hoop
        if last is None or last == first:
            single[first] += 1
        else:
            spans[min(first, last), max(first, last)] += 1
    texts = [
        _at(_runs(sorted(hoop for hoop, n in single.items() if n == number)), number)
        for number in sorted(set(single.values()))
    ]
    texts += [_between(sorted(s for s, n in spans.items() if n == number), number)
              for number in sorted(set(spans.values()))]  # fmt: skip
    return ", ".join(texts)


def _runs(numbers: list[int]) -> list[tuple[int, int]]:
    """Consecutive numbers drawn together."""
    runs: list[tuple[int, int]] = []
    for number in numbers:
        if runs and runs[-1][1] == number - 1:
            runs[-1] = (runs[-1][0], number)
        else:
            runs.append((number, number))
    return runs


def _at(runs: list[tuple[int, int]], each: int) -> str:
    one = len(runs) == 1 and runs[0][0] == runs[0][1]
    text = f"hoop{'' if one else 's'} {_listed(runs)}"
    return f"{text}, {each} {'there' if one else 'at each'}" if each > 1 else text


def _between(spans: list[tuple[int, int]], each: int) -> str:
    text = f"from hoop {_listed(spans)}"
    return f"{text}, {each} per bay" if each > 1 else text


def _listed(runs: list[tuple[int, int]]) -> str:
    shown = [f"{a} to {b}" if a != b else f"{a}" for a, b in runs[:_MOST_SHOWN]]
    more = len(runs) - len(shown)
    return ", ".join(shown) + (f" and {more} more" if more else "")
