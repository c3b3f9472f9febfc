"""Fields that mean something only where another has a certain value.

A gothic hoop has no crown radius, a roll-up door no hinge side. A form leaves such a field out
while it says nothing; the reader takes it or refuses it as ever.
"""

from __future__ import annotations

from pydantic.config import JsonValue

Way = dict[str, tuple[JsonValue, ...]]
"""Fields, of the same table or with the section before them, and what each may be; None is for
one that is left out and has no default."""

_GOTHIC: Way = {"profile.style": ("gothic",)}
_SLEEVE: Way = {**_GOTHIC, "ridge_joint": ("sleeve",)}
_SIDES: Way = {"at": ("sides",)}
_BOARD: Way = {"hip": ("board",)}
_RAIL: Way = {"hip": ("rail",)}
_GEAR: Way = {"winder": ("gear",)}
_LEAVES: Way = {"kind": ("hinged", "sliding")}
_BRACED: Way = {"braces": ("pair", "all", None)}
_SIZES: Way = {"corners": (None,)}
_SHEETS: Way = {"wall_cover": ("board", "twin-wall")}

APPLYING: dict[tuple[str, str], tuple[Way, ...]] = {
    ("profile", "crown_radius"): ({"style": ("quonset",)},),
    ("profile", "rafter_radius"): ({"style": ("gothic",)},),
    ("profile", "ridge_slope"): ({"style": ("gothic",)},),
    ("hoop", "splice_tube"): ({"splice": ("sleeve",)},),
    ("hoop", "ridge_joint"): (_GOTHIC,),
    ("hoop", "ridge_overlap"): (_GOTHIC,),
    ("hoop", "ridge_tube"): (_SLEEVE,),
    ("hoop", "ridge_bend_radius"): (_SLEEVE,),
    ("rail", "height"): (_SIDES,),
    ("rail", "fraction"): (_SIDES,),
    ("rail", "face"): (_SIDES,),
    ("tie", "overhang"): ({"joint": ("clamped",)},),
    ("tie", "web_foot"): ({"webs": (2,)},),
    ("tie", "web_top"): ({"webs": (2,)},),
    ("side_opening", "timber"): (_BOARD,),
    ("side_opening", "block_length"): (_BOARD,),
    ("side_opening", "tube"): (_RAIL,),
    ("side_opening", "fixing"): (_RAIL,),
    ("side_opening", "overlap"): (_RAIL,),
    ("curtain", "gear_ratio"): (_GEAR,),
    ("curtain", "post_tube"): (_GEAR,),
    ("curtain", "post_depth"): (_GEAR,),
    ("end_wall", "tube"): ({"studs": ("tube",)},),
    ("end_wall", "embedment"): ({"studs": ("tube",)}, {"foot": ("ground",)}),
    ("end_wall", "largest_spacing"): ({"positions": (None,)},),
    ("end_wall", "brace_height"): (_BRACED,),
    ("end_wall", "brace_tube"): (_BRACED,),
    ("end_wall", "anchor_spacing"): ({"anchors": ("stakes", "posts", "ground anchors")},),
    ("end_wall", "anchor_depth"): ({"anchors": ("stakes", "posts", "ground anchors")},),
    ("end_wall", "anchor_tube"): ({"anchors": ("stakes",)},),
    ("end_wall", "anchor_timber"): ({"anchors": ("posts",)},),
    ("end_wall", "anchor_rod"): ({"anchors": ("ground anchors",)},),
    ("end_wall", "anchor_plate"): ({"anchors": ("ground anchors",)},),
    ("door", "leaves"): (_LEAVES,),
    ("door", "leaf"): (_LEAVES,),
    ("door", "hand"): ({**_LEAVES, "leaves": (1,)},),
    ("door", "swing"): ({"kind": ("hinged",)},),
    ("cover", "sheet_width"): (_SHEETS,),
    ("cover", "sheet_length"): (_SHEETS,),
    ("machine", "width"): (_SIZES,),
    ("machine", "height"): (_SIZES,),
    ("machine", "shoulder_height"): (_SIZES,),
    ("machine", "top_width"): (_SIZES,),
    ("output", "fraction"): ({"units": ("imperial",)},),
    ("output", "decimals"): ({"units": ("metric",)},),
}
"""By section and name the ways in which a field applies: one of them is enough, in which all that
it names must hold. A field that is not here always applies."""
