"""The process in which designs are laid out, checked, drawn and built.

Started by :mod:`frame3d.web.work.workers`, it reads a question from standard input, answers on
standard output, and ends when the server closes the pipe or dies. What goes wrong on purpose is
an answer; anything else ends the process, which the server takes for the answer that the
program itself has failed.
"""

from __future__ import annotations

import gc
import os
import sys
from typing import BinaryIO

from frame3d.design.reading.reader import design_from_text
from frame3d.examples import example_paths
from frame3d.web.work.messages import HEAD, PROGRESS, Message, said
from frame3d.web.work.read_designs import NAME, forget_old
from frame3d.web.work.tasks import TASKS

_LIGHT, _COLLECT_AFTER = ("lay", "find"), 16
"""Tasks that leave next to no garbage in circles, and after how many of them it is collected."""
_LONG, _BEHIND = "make", 10
"""What takes long, and by how much it stands behind what others look at meanwhile: a worker that
makes something is asked nothing else.
"""


def main() -> None:
    """Answer until there is nothing more to read."""
    asked = sys.stdin.buffer
    # Libraries write to standard output when they like; that must not get among the answers.
    answered = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    # The first design that is read waits for the models to be built: not that of a user.
    design_from_text(next(iter(example_paths().values())).read_text("utf-8"), NAME)
    gc.collect()
    gc.freeze()
    # Collecting garbage takes a third of the time of laying out. It can wait for the answer, and
    # after a picture for some more of them, or the next question would wait for it.
    gc.disable()
    uncollected = 0
    while (question := _read(asked)) is not None:

        def tell(what: str, done: int, total: int) -> None:
            _write(answered, said([what, done, total], kind=PROGRESS))

        fields = question.fields
        if fields["task"] == _LONG and hasattr(os, "nice"):
            os.nice(_BEHIND)
        answer = TASKS[fields["task"]](fields, tell)
        _write(answered, answer)
        del answer
        forget_old()
        uncollected += 1
        if fields["task"] not in _LIGHT or uncollected == _COLLECT_AFTER:
            gc.collect()
            uncollected = 0


def _read(source: BinaryIO) -> Message | None:
    head = source.read(HEAD.size)
    if len(head) < HEAD.size:
        return None
    kind, *sizes = HEAD.unpack(head)
    words, blob = (source.read(size) for size in sizes)
    if len(words) < sizes[0] or len(blob) < sizes[1]:
        return None
    return Message(words=words, blob=blob, kind=kind)


def _write(target: BinaryIO, message: Message) -> None:
    target.write(message.encoded())
    target.flush()


if __name__ == "__main__":
    main()
