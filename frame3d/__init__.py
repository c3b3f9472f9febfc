"""Gothic and quonset high-tunnel frames, from a design to solids and drawings.

Axes, everywhere: right-handed, X across the width, Y along the length, Z up. The
origin lies on the centreline, in the plane of the first hoop, at nominal ground.
Inside the package lengths are in millimetres, masses in kilograms and angles in
radians; names at boundaries carry the unit.

``load_design``, ``lay_out`` and ``build`` are the whole way from a file to files; they
are loaded when they are first asked for, so that ``import frame3d`` costs nothing.
"""

from __future__ import annotations

__version__ = "0.1.0"
__all__ = ["__version__", "build", "lay_out", "load_design"]


def __getattr__(name: str) -> object:
    if name == "load_design":
        from frame3d.design.reading.reader import read_design

        return read_design
    if name == "lay_out":
        from frame3d.frame.lay_out import lay_out

        return lay_out
    if name == "build":
        # The module, which can be called: once it is loaded the name is the module's anyway.
        import importlib

        return importlib.import_module("frame3d.building")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
