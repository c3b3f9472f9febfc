"""Gothic and quonset high-tunnel frames, from a design to solids and drawings.

Axes, everywhere: right-handed, X across the width, Y along the length, Z up. The
origin lies on the centreline, in the plane of the first hoop, at nominal ground.
Inside the package lengths are in millimetres, masses in kilograms and angles in
radians; names at boundaries carry the unit.

``load_design``, ``lay_out`` and ``build`` are the whole way from a file to files; they
are loaded when they are first asked for, so that ``import frame3d`` costs nothing.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from frame3d.building import build
    from frame3d.design.reading.reader import read_design as load_design
    from frame3d.frame.lay_out import lay_out

__version__ = "0.1.0"
__all__ = ["__version__", "build", "lay_out", "load_design"]


_HOMES = {
    "build": ("frame3d.building", "build"),
    "lay_out": ("frame3d.frame.lay_out", "lay_out"),
    "load_design": ("frame3d.design.reading.reader", "read_design"),
}
"""Public name -> the module and the name that it has there."""

if not TYPE_CHECKING:  # a checker would take any name then

    def __getattr__(name):
        if name not in _HOMES:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        module, own = _HOMES[name]
        globals()[name] = found = getattr(importlib.import_module(module), own)
        return found


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
