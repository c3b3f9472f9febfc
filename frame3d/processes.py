"""Processes of our own, which run our code and nothing that lies where the user works.

Python puts the working folder first among the places to import from when it is started with
``-m``: a file called ``msgspec.py`` beside a design would be run. So helpers are started with
``-P``, in a folder of this package, and are given this very package by its place. ``-I`` would
do more, but loses what is installed for one user.
"""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path

FOLDER = Path(__file__).parent / "examples"
"""Where helpers are started: it holds designs and nothing that can be imported."""
_BEGIN = """
import importlib.util, runpy, sys
place, module = sys.argv[1:3]
del sys.argv[1:3]
spec = importlib.util.spec_from_file_location("frame3d", place)
sys.modules["frame3d"] = package = importlib.util.module_from_spec(spec)
spec.loader.exec_module(package)
runpy.run_module(module, run_name="__main__", alter_sys=True)
"""


def tidy_seldom() -> None:
    """Have Python look for rubbish seldom: a build keeps what it makes, and looking took 7 %.

    What it holds at the most is the same (677 MB of the 96 ft example, in one process).
    """
    gc.set_threshold(50_000, 20, 100)


def command(module: str, *words: str) -> list[str]:
    """What to start for ``module`` of this package, as ``python -m`` would run it.

    Start it in :data:`FOLDER`, with :func:`environment`; paths among ``words`` must be absolute.
    """
    package = Path(__file__).with_name("__init__.py")
    return [sys.executable, "-P", "-c", _BEGIN, str(package), module, *words]


def environment(**changes: str) -> dict[str, str]:
    """The environment of a helper: ours with ``changes``, and no working folder on its path."""
    found = {**os.environ, "PYTHONSAFEPATH": "1", **changes}
    places = _kept(found.pop("PYTHONPATH", "").split(os.pathsep))
    if places:
        found["PYTHONPATH"] = os.pathsep.join(places)
    return found


def _kept(places: list[str]) -> list[str]:
    """Places to import from, those beside the working folder by their whole path, itself not.

    An empty one means the working folder; often nobody wanted it, as after joining lists.
    """
    try:
        here = os.getcwd()
    except OSError:  # it has been removed
        return [place for place in places if os.path.isabs(place)]
    return [
        os.path.join(here, place)
        for place in places
        if os.path.isabs(place) or (place and os.path.realpath(place) != os.path.realpath(here))
    ]
