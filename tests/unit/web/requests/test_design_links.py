"""A design in an address comes back as it was, and nothing larger than a design comes at all."""

from __future__ import annotations

import base64
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.examples import example_paths
from frame3d.web.requests.design_links import PackingError, packed, unpacked
from frame3d.web.requests.limits import DESIGN_BYTES, PACKED_BYTES


@given(st.text(max_size=2000))
def test_any_text_comes_back(text: str) -> None:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return
    letters = packed(text)
    assert unpacked(letters) == text
    assert set(letters) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_")


def test_it_is_raw_deflate_in_base64url() -> None:
    """RFC 1951 by zlib's own reader and RFC 4648, 5, by the standard library's."""
    text = example_paths()["long_meadow_gothic"].read_text("utf-8")
    letters = packed(text)
    data = base64.urlsafe_b64decode(letters + "=" * (-len(letters) % 4))
    assert zlib.decompress(data, -15).decode() == text


@given(st.binary(max_size=200))
def test_anything_else_is_text_or_told(data: bytes) -> None:
    letters = base64.urlsafe_b64encode(data).decode().rstrip("=")
    try:
        assert isinstance(unpacked(letters), str)
    except PackingError as error:
        assert str(error)


def test_the_largest_design_passes_and_one_more_byte_does_not() -> None:
    assert len(unpacked(packed("#" * DESIGN_BYTES))) == DESIGN_BYTES
    with pytest.raises(PackingError, match="larger than"):
        unpacked(packed("#" * (DESIGN_BYTES + 1)))
    with pytest.raises(PackingError, match="letters"):
        unpacked("A" * (PACKED_BYTES + 1))
