"""How long the sheets of a frame take, and how that grows with its length, as ratios in one run.

    python tests/benchmarks/bench_sheets.py [--longest 480]

The gothic example from 48 ft on, each length twice the one before or the longest; CPU seconds,
in one process that has drawn a small set before, so that imports and fonts don't count.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path

from frame3d.design.reading.reader import design_from_mapping, read_design
from frame3d.examples import example_paths
from frame3d.frame.lay_out import lay_out
from frame3d.frame.model.members import Frame
from frame3d.sheets.sets.draw import draw_sheets
from frame3d.sheets.write.part_files import write_parts
from frame3d.sheets.write.sheet_files import write_sheet_files

FIRST_FT, BASE_FT, SPACING_FT = 48, 96, 4


def frame_of(length_ft: int) -> Frame:
    """The gothic example at another length."""
    design = read_design(example_paths()["long_meadow_gothic"])
    bays = design.bays.model_copy(update={"count": length_ft // SPACING_FT, "length": None})
    return lay_out(design.model_copy(update={"bays": bays}))


def seconds_of(frame: Frame) -> dict[str, float]:
    """CPU seconds of drawing the sheets, writing them, and writing the parts."""
    with tempfile.TemporaryDirectory() as name:
        folder, marks = Path(name), [time.process_time()]
        sheets = draw_sheets(frame)
        marks.append(time.process_time())
        write_sheet_files(sheets, folder)
        marks.append(time.process_time())
        write_parts(frame, folder)
        marks.append(time.process_time())
    taken = [b - a for a, b in zip(marks, marks[1:], strict=False)]
    return {"sheets": len(sheets.sheets), "draw": taken[0], "files": taken[1], "parts": taken[2],
            "all": sum(taken)}  # fmt: skip


def main() -> None:
    """Print a table: each length against 96 ft."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--longest", type=int, default=480)
    longest = parser.parse_args().longest
    small = {"profile": {"style": "quonset", "width": "4 m"},
             "bays": {"count": 1, "spacing": "1 m"}}  # fmt: skip
    seconds_of(lay_out(design_from_mapping({"output": {"units": "metric"}, **small})))
    lengths = [FIRST_FT, BASE_FT]
    while lengths[-1] < longest:
        lengths.append(min(2 * lengths[-1], longest))
    rows = {length: seconds_of(frame_of(length)) for length in lengths}
    print(f"{'ft':>5} {'members':>8} {'sheets':>7} {'draw s':>7} {'files s':>8} {'parts s':>8} "
          f"{'all s':>7} {'to 96 ft':>9}")  # fmt: skip
    for length, row in rows.items():
        print(
            f"{length:>5} {len(frame_of(length).members):>8} {row['sheets']:>7} "
            f"{row['draw']:>7.2f} {row['files']:>8.2f} {row['parts']:>8.2f} {row['all']:>7.2f} "
            f"{row['all'] / rows[BASE_FT]['all']:>9.2f}"
        )


if __name__ == "__main__":
    main()
