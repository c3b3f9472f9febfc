"""Bored tubes as random as they come: each must be one valid, tight, closed solid, here and as STEP.

The numbers of pieces that failed once stand first. ``python tests/bored_pieces.py 0 10000`` tries
more than every run can.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from bored_pieces import faults, piece
from campaign import examples

from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.parts import Tube
from frame3d.spec.reader import design_from_mapping
from frame3d.spec.starts import starter_text

CASES = Path(__file__).parents[2] / "cases"
PARTS, OF = 3, 300
"""So many pieces in each run, in parts that processes share."""


def _rail_at_8ft11() -> dict:
    text = example_paths()["long_meadow_gothic"].read_text("utf-8")
    return tomllib.loads(text.replace('height = "8 ft"', 'height = "8 ft 11 1/2 in"', 1))
