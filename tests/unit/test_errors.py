"""Every error of the package goes through pickle and copy and says the same afterwards."""

from __future__ import annotations

import copy
import importlib
import pickle
import pkgutil
from collections.abc import Callable

import pytest

import frame3d
from frame3d.cli.ending import Stopped, Unshown
from frame3d.errors import (
    ArchError,
    DesignError,
    DesignFaults,
    Fault,
    Frame3dError,
    ListFaults,
    OutputError,
)
from frame3d.geometry.arch.arch_given import Dimension, MisfitError, Reason

MADE: dict[type[Exception], tuple[tuple, dict]] = {
    ArchError: (("too low",), {"field": "ridge_height"}),
    DesignError: (("got 3 hoops; give four",), {"where": "bays.count"}),
    DesignFaults: (
        ([Fault(where="a.b", message="c", line=3), Fault(where="", message="d")], "design.toml"),
        {},
    ),
    MisfitError: ((Reason.SHORT_LEG, Dimension.LEG_HEIGHT, 3.0), {"missing": (Dimension.WIDTH,)}),
    Unshown: ((OSError(28, "No space left on device"),), {}),
    Stopped: ((15,), {}),
    ListFaults: (([Fault(where="row 2, column price", message="got x")], "prices.csv"), {}),
}  # fmt: skip
"""Arguments of those that take more than a message."""

WAYS: dict[str, Callable[[Exception], Exception]] = {
    **{
        f"pickle {protocol}": lambda error, protocol=protocol: pickle.loads(
            pickle.dumps(error, protocol)
        )
        for protocol in range(pickle.HIGHEST_PROTOCOL + 1)
    },
    "copy": copy.copy,
    "deepcopy": copy.deepcopy,
}


def all_errors() -> list[type[Exception]]:
    """Every exception that a module of the package defines."""
    found: dict[str, type[Exception]] = {}
    for item in pkgutil.walk_packages(frame3d.__path__, "frame3d."):
        if item.name.endswith("__main__"):
            continue
        module = importlib.import_module(item.name)
        for value in vars(module).values():
            is_error = isinstance(value, type) and issubclass(value, BaseException)
            if is_error and value.__module__.startswith("frame3d."):
                found[f"{value.__module__}.{value.__qualname__}"] = value
    return [found[name] for name in sorted(found)]


def made(kind: type[Exception]) -> Exception:
    words, named = MADE.get(kind, (("a message",), {}))
    error = kind(*words, **named)
    error.add_note("noted on the way")
    return error


def test_all_of_them_are_found() -> None:
    kinds = all_errors()
    assert set(MADE) < set(kinds) and OutputError in kinds
    assert len(kinds) >= 16
    assert all(kind in kinds for kind in Frame3dError.__subclasses__())


@pytest.mark.parametrize("way", WAYS)
def test_an_error_is_the_same_afterwards(way: str) -> None:
    for kind in all_errors():
        error = made(kind)
        again = WAYS[way](error)
        assert type(again) is kind
        assert str(again) == str(error), kind
        assert repr(again.args) == repr(error.args), kind
        assert repr(vars(again)) == repr(vars(error)), kind
        # And once more: a copy of a copy.
        assert str(WAYS[way](again)) == str(error), kind
