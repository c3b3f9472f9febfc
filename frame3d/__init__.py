"""Gothic and quonset high-tunnel frames, from a design to solids and drawings.

Axes, everywhere: right-handed, X across the width, Y along the length, Z up. The
origin lies on the centreline, in the plane of the first hoop, at nominal ground.
Inside the package lengths are in millimetres, masses in kilograms and angles in
radians; names at boundaries carry the unit.
"""

__version__ = "0.1.0"
