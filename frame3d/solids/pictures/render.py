"""Pictures of a frame, drawn off screen.

The drawing library ends its process where the machine offers no way to draw, so
the pictures are made in a process of its own, which is given shells and a folder.
"""

from __future__ import annotations

import contextlib
import os
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from frame3d.errors import MachineError, OutputError
from frame3d.processes import FOLDER, command, environment
from frame3d.solids.pictures.role_shells import PLAIN, Shell, Signs, packed_shells, read_shells
from frame3d.staging import put_in_place, staged, unwritable

PICTURES = ("model.png", "front.png", "side.png", "detail.png")
"""What is drawn: the frame from its front left, from the front, from the left, and a foot."""
_PATIENCE_S = 600
_UNWRITABLE = 3
"""What the process ends with when a disk takes no picture; it tells the error's number."""


def write_pictures(shells: Sequence[Shell], folder: Path, signs: Signs = PLAIN) -> None:
    """Draw ``shells`` into the files :data:`PICTURES` of ``folder``, all or none.

    ``signs`` is what is written on them.

    Raises
    ------
    OutputError
        If they cannot be drawn on this machine; the model files are none the worse, and
        the caller can go on without them.
    """
    with drawing(shells, folder, signs) as finish:
        finish()


@contextlib.contextmanager
def drawing(
    shells: Sequence[Shell], folder: Path, signs: Signs = PLAIN
) -> Iterator[Callable[[], None]]:
    """Begin to draw as :func:`write_pictures` does; gives what waits until it is done.

    That raises as :func:`write_pictures` does. Whatever is still being drawn at the end is
    given up.

    Raises
    ------
    OutputError
        If it cannot be begun.
    """
    with staged(folder, PICTURES) as staging, ThreadPoolExecutor(max_workers=1) as pool:
        try:
            process = _begun(staging)
        except OSError as error:
            raise unwritable(staging, error) from error
        # In a thread, as the process reads when it has loaded.
        ended = pool.submit(process.communicate, packed_shells(shells, signs), _PATIENCE_S)

        def finish() -> None:
            try:
                _, said = ended.result()
            except subprocess.TimeoutExpired as error:
                raise OutputError(_message(f"it took longer than {_PATIENCE_S} s")) from error
            _judge(process.returncode, said, staging)
            put_in_place(staging, folder, list(PICTURES), PICTURES)

        try:
            yield finish
        finally:
            process.kill()


def _begun(staging: Path) -> subprocess.Popen[bytes]:
    # Without a display to look for, the library goes straight to drawing off screen.
    nowhere = environment()
    nowhere.pop("DISPLAY", None)
    return subprocess.Popen(
        command("frame3d.solids.pictures.render", os.path.abspath(staging)),
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        env=nowhere,
        cwd=FOLDER,
    )


def _judge(status: int, said: bytes, staging: Path) -> None:
    """Raise what the process that draws has met."""
    if status == _UNWRITABLE:
        number = int(said.decode(errors="replace").split()[-1])
        full = OSError(number, os.strerror(number))
        raise unwritable(staging, full) from full
    if status or not all((staging / name).exists() for name in PICTURES):
        last = said.decode(errors="replace").strip().splitlines()[-1:]
        reason = last[0] if last else f"the drawing process ended with {status}"
        raise OutputError(_message(reason))


def _message(reason: str) -> str:
    return (
        f"no pictures could be drawn ({reason}); the other files are not affected. Pictures "
        "need EGL or OSMesa: on Debian and Ubuntu install libegl1 or libosmesa6"
    )


def main(arguments: list[str]) -> int:
    """Draw the shells from standard input into a folder; 2 if it isn't one name."""
    if len(arguments) != 1:
        sys.stderr.write("give a folder\n")
        return 2
    folder = Path(arguments[0])
    # Only here, in the process that may end.
    from frame3d.solids.pictures.scene import draw_scenes

    try:
        shells, signs = read_shells(sys.stdin.buffer.read())
        draw_scenes(shells, signs, [folder / name for name in PICTURES])
    except OSError as error:
        if not isinstance(unwritable(folder, error), MachineError):
            raise
        sys.stderr.write(f"{error.errno}\n")
        return _UNWRITABLE
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
