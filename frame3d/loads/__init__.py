"""Designs compared under the same unit loads, and a model for engineers.

Nothing here says what a frame can carry.
"""

from __future__ import annotations

import os

__all__ = ["one_thread"]

_THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


def one_thread() -> None:
    """Keep the library of dense matrices to one thread, where it is not loaded yet.

    Its matrices are small here, and several threads are many times slower on a busy machine.
    """
    for name in _THREADS:
        os.environ.setdefault(name, "1")
