"""From a frame to exact solids, and from those to STEP, STL, GLB and a picture.

Each distinct part becomes one solid, in its own axes, checked when it is made;
members are that solid placed by reference. The kernel is called only in here.
"""
