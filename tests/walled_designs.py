"""Designs with end walls, doors, ties and side openings, as mappings, for tests of sheets."""

from __future__ import annotations

import tomllib

from frame3d.examples import example_paths


def example(name: str, **more) -> dict:
    """One of the two examples with tables added or replaced."""
    mapping = tomllib.loads(example_paths()[name].read_text(encoding="utf-8"))
    return {**mapping, **more}


def walled(**more) -> dict:
    """A round tunnel of 6 m by 9 m with an end wall at both ends and a door in front."""
    return {
        "output": {"units": "metric", "sheets": "iso", "sheet_size": "A3"},
        "profile": {"style": "quonset", "width": "6 m", "ridge_height": "3.2 m",
                    "leg_height": "1 m"},
        "bays": {"count": 6, "spacing": "1.5 m"},
        "hoop": {"tube": "48 x 2 mm", "ridge_tube": "60 x 3 mm"},
        "socket": {"tube": "60 x 3 mm"},
        "sill_board": {"stock_length": "4.8 m"},
        "rail": [{"at": "ridge"}],
        "end_wall": [{}],
        "door": [{}],
        **more,
    }  # fmt: skip


GOTHIC = {
    "profile": {"style": "gothic", "width": "9 m", "ridge_height": "4.5 m",
                "leg_height": "1.6 m"},
    "hoop": {"tube": "60 x 3 mm", "ridge_tube": "76.1 x 3 mm", "ridge_bend_radius": "400 mm",
             "pieces": 4, "splice": "sleeve", "splice_tube": "76 x 3 mm"},
    "socket": {"tube": "76 x 3 mm"},
}  # fmt: skip

DESIGNS = {
    "gothic example": example(
        "long_meadow_gothic", bays={"count": 9, "spacing": "4 ft"},
        end_wall=[{"girts": ["3 ft", "11 ft"]}], side_opening={},
        door=[{"at": "both", "width": "8 ft", "height": "8 ft", "leaves": 2}],
        tie=[{"height": "9 ft", "every": 2, "post": "king post", "webs": 2}],
    ),
    "quonset example": example(
        "long_meadow_quonset", bays={"count": 9, "spacing": "1.2 m"},
        end_wall=[{}], door=[{"at": "front"}],
        side_opening={"hip": "rail"}, tie=[{"height": "2.2 m", "joint": "plates", "webs": 2}],
    ),
    "metric on US paper": walled(
        output={"units": "metric", "sheets": "us", "sheet_size": "B"},
        end_wall=[{"girts": ["800 mm"]}], side_opening={}, tie=[{"height": "2.3 m"}],
        door=[{"at": "both", "position": "-700 mm", "threshold": "board", "hand": "right"}],
    ),
    "wide and low, double sliding door": walled(
        profile={"style": "quonset", "width": "14 m", "ridge_height": "3.2 m",
                 "leg_height": "1 m"},
        hoop={"tube": "60 x 3 mm", "ridge_tube": "76.1 x 3 mm", "pieces": 3,
              "splice": "sleeve", "splice_tube": "76 x 3 mm"},
        socket={"tube": "76 x 3 mm"},
        end_wall=[{"largest_spacing": "900 mm", "girts": ["1 m"]}], side_opening={},
        door=[{"at": "front", "kind": "sliding", "leaves": 2, "width": "3 m",
               "height": "2.2 m"}],
        tie=[{"height": "2.4 m", "webs": 2, "post": "king post"}],
    ),
    "tiny": walled(
        profile={"style": "gothic", "width": "2.5 m", "ridge_height": "2.2 m",
                 "leg_height": "600 mm"},
        bays={"count": 2, "spacing": "1 m"}, hoop={"tube": "42 x 2 mm", "ridge_tube": "50 x 3 mm"},
        socket={"tube": "50 x 3 mm"}, side_opening={"height": "1 m"}, tie=[{"height": "1.7 m"}],
        door=[{"at": "both", "width": "700 mm", "height": "1500 mm"}],
    ),
    "120 m long, roll-up doors": walled(
        bays={"count": 80, "spacing": "1.5 m"}, end_wall=[{"girts": ["900 mm"]}],
        side_opening={}, tie=[{"height": "2.3 m", "every": 4}],
        door=[{"width": "2 m", "height": "2.1 m", "kind": "roll-up", "at": "both"}],
    ),
    "clamped tubes, sliding and roll-up": walled(
        end_wall=[{"studs": "tube", "girts": ["1.2 m", "2.6 m"], "braces": "all"}],
        door=[{"at": "front", "kind": "sliding", "hand": "right", "width": "1.4 m",
               "height": "2 m"},
              {"at": "back", "kind": "roll-up", "width": "2.4 m", "height": "2.2 m"}],
        tie=[{"height": "2.3 m", "joint": "plates", "webs": 2, "post": "king post"}],
        side_opening={"hip": "rail"},
    ),
    "flattened tubes, double door": walled(
        **GOTHIC, end_wall=[{"studs": "tube", "top": "flattened", "girts": ["1.1 m"]}],
        door=[{"at": "both", "leaves": 2, "width": "2 m", "height": "2.05 m",
               "threshold": "board", "swing": "in"}],
        side_opening={"end_stop": "0 mm"},
    ),
    "two doors, two ties": walled(
        **GOTHIC,
        end_wall=[{"at": "front", "girts": ["2.6 m", "1 m"], "top": "bolted"},
                  {"at": "back", "studs": "tube"}],
        door=[{"position": "-1600 mm"},
              {"position": "1500 mm", "width": "2.2 m", "leaves": 2, "height": "2.3 m",
               "threshold": "board"}],
        tie=[{"height": "2.8 m"}, {"height": "3.6 m", "every": 3}],
    ),
    "A4": walled(
        output={"units": "metric", "sheets": "iso", "sheet_size": "A4"}, side_opening={},
        tie=[{"height": "2.3 m", "webs": 2}], door=[{"at": "both"}],
    ),
}  # fmt: skip

__all__ = ["DESIGNS", "GOTHIC", "example", "walled"]
