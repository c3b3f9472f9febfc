"""What a broken design is told, for the tables of faults."""

from __future__ import annotations

import re

import pytest

from frame3d.design.reading.reader import design_from_text
from frame3d.errors import DesignFaults


def told(text, pattern):
    """Field and line of each fault of the text, the first of which must say the pattern."""
    with pytest.raises(DesignFaults, match=pattern) as caught:
        design_from_text(text, "broken.toml")
    assert re.search(pattern, caught.value.faults[0].message)
    assert str(caught.value).startswith("broken.toml: ")
    return [(fault.where, fault.line) for fault in caught.value.faults]
