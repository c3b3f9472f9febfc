"""A picture of a frame, drawn off screen from its GLB file.

The drawing library ends its process where the machine offers no way to draw, so
the picture is made in a process of its own: ``python -m frame3d.solids.picture
model.glb model.png``.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from frame3d.errors import OutputError
from frame3d.writing import write_whole

_PATIENCE_S = 300


def write_picture(glb: Path, png: Path) -> None:
    """Draw the GLB file ``glb`` into the PNG file ``png``.

    Raises
    ------
    OutputError
        If the picture cannot be drawn on this machine; the model files are none
        the worse, and the caller can go on without it.
    """

    def draw(temporary: Path) -> None:
        command = [sys.executable, "-m", "frame3d.solids.picture", str(glb), str(temporary)]
        try:
            run = subprocess.run(command, capture_output=True, timeout=_PATIENCE_S, check=False)
        except subprocess.TimeoutExpired as error:
            raise OutputError(_message(f"it took longer than {_PATIENCE_S} s")) from error
        if run.returncode or not temporary.exists():
            last = run.stderr.decode(errors="replace").strip().splitlines()[-1:]
            reason = last[0] if last else f"the drawing process ended with {run.returncode}"
            raise OutputError(_message(reason))

    write_whole(png, draw)


def _message(reason: str) -> str:
    return (
        f"no picture could be drawn ({reason}); the other files are not affected. "
        "It needs a display, EGL or OSMesa: install one of them, or do without the picture"
    )


def main(arguments: list[str]) -> int:
    """Draw the file named first into the file named second; 2 if it isn't two names."""
    if len(arguments) != 2:
        sys.stderr.write("give a GLB file and a PNG file\n")
        return 2
    # Only here, in the process that may end.
    from frame3d.solids.scene import draw_scene

    draw_scene(Path(arguments[0]), Path(arguments[1]))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
