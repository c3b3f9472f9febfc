"""The options that hand a survey to a command, in place of the lists that the design names."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

LevelsFile = Annotated[
    Path | None,
    typer.Option(
        help="Spot elevations of the ground, CSV: point, x, y, z (or rod readings with "
        "a benchmark), rock. Default: what [staking] levels names.",
        show_default=False,
    ),
]
MeasuredFile = Annotated[
    Path | None,
    typer.Option(
        help="Measured sides and diagonals, CSV: from, to, distance. Default: what [staking] "
        "measured names.",
        show_default=False,
    ),
]
BuiltFile = Annotated[
    Path | None,
    typer.Option(
        help="Post tops as driven, CSV: point, x, y, z; or hoop, width, left, right, "
        "left_height, right_height. Default: what [staking] built names.",
        show_default=False,
    ),
]
