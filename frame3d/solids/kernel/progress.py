"""How a long run tells its caller where it is."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[str, int, int], None]
"""Called with what is being done, how many steps are done, and how many there are."""
