"""The smallest design that still fails in the same way.

Greedy: tables go, then entries, then fields, several at once before single ones; then values
become plain. What is refused, or fails in another way, is no step.
"""

from __future__ import annotations

import copy
import json
import math
import re
import time
from collections.abc import Callable, Iterator

Place = tuple[str | int, ...]
_LENGTH = re.compile(r"(-?\d+(?:\.\d+)?) (mm|m|ft|in)")
_STEPS = {"mm": (1000.0, 100.0, 10.0, 1.0), "m": (1.0, 0.1), "ft": (1.0,), "in": (12.0, 1.0)}


def size_of(mapping: dict) -> tuple[int, int]:
    """By which designs are compared: how many values they have, and how long they are."""
    text = json.dumps(mapping)
    return len(list(_leaves(mapping))), len(text)


def shrunk(
    mapping: dict,
    fails: Callable[[dict], bool],
    seconds: float,
    clock: Callable[[], float] = time.monotonic,
) -> dict:
    """A smaller design for which ``fails`` is still true; the best found within ``seconds``."""
    end = clock() + seconds
    best = mapping
    while clock() < end:
        before = best
        for places_of in (_sections, _entries, _fields):
            best = _without(best, places_of, fails, lambda: clock() < end)
        best = _plainer(best, fails, lambda: clock() < end)
        if best == before:
            break
    return best


def _without(
    mapping: dict,
    places_of: Callable[[dict], list[Place]],
    fails: Callable[[dict], bool],
    has_time: Callable[[], bool],
) -> dict:
    """Leave out as many places as can be, in halves, quarters and so on down to single ones."""
    count = len(places_of(mapping))
    while count >= 1 and has_time():
        start = 0
        while start < len(places := places_of(mapping)) and has_time():
            tried = copy.deepcopy(mapping)
            # From the last, so that the numbers of entries before them stay.
            for place in reversed(places[start : start + count]):
                _drop(tried, place)
            if fails(tried):
                mapping = tried
            else:
                start += count
        count //= 2
    return mapping


def _plainer(mapping: dict, fails: Callable[[dict], bool], has_time: Callable[[], bool]) -> dict:
    """Give every value the plainest form under which the design still fails."""
    for place, value in list(_leaves(mapping)):
        for plain in _plain_forms(value):
            if not has_time():
                return mapping
            tried = copy.deepcopy(mapping)
            _put(tried, place, plain)
            if fails(tried):
                mapping = tried
                break
    return mapping


def _plain_forms(value) -> Iterator:
    """Plainer values, the plainest first."""
    if isinstance(value, bool) or value is None:
        return
    if isinstance(value, int):
        yield from (n for n in (1, 2, 3, value // 2) if n < value)
    elif isinstance(value, float):
        yield from (v for v in (round(value), round(value, 1)) if v != value)
    elif isinstance(value, str) and (match := _LENGTH.fullmatch(value)):
        number, unit = float(match[1]), match[2]
        for step in _STEPS[unit]:
            for count in (math.floor(number / step + 1e-9), math.ceil(number / step - 1e-9)):
                plain = round(count * step, 3)
                if plain == number:
                    return
                yield f"{plain:g} {unit}"


def _sections(mapping: dict) -> list[Place]:
    return [(name,) for name in mapping]


def _entries(mapping: dict) -> list[Place]:
    return [
        (name, number) for name, value in mapping.items() if isinstance(value, list)
        for number in range(len(value))
    ]  # fmt: skip


def _fields(mapping: dict) -> list[Place]:
    found: list[Place] = []
    for name, value in mapping.items():
        tables = value if isinstance(value, list) else [value]
        for number, table in enumerate(tables):
            start = (name, number) if isinstance(value, list) else (name,)
            found += [(*start, key) for key in table]
    return found


def _leaves(value, place: Place = ()) -> Iterator[tuple[Place, object]]:
    if isinstance(value, dict | list):
        items = value.items() if isinstance(value, dict) else enumerate(value)
        for key, inner in items:
            yield from _leaves(inner, (*place, key))
    else:
        yield place, value


def _drop(mapping: dict, place: Place) -> None:
    *way, last = place
    inner = mapping
    for key in way:
        inner = inner[key]
    del inner[last]


def _put(mapping: dict, place: Place, value) -> None:
    *way, last = place
    inner = mapping
    for key in way:
        inner = inner[key]
    inner[last] = value


__all__ = ["shrunk", "size_of"]
