"""What accepts gzip: examples after RFC 9110, 12.5.3."""

from __future__ import annotations

import pytest

from frame3d.web.compression import accepts_gzip


@pytest.mark.parametrize(
    "header", ["gzip", "gzip, deflate, br", "br;q=1.0, gzip;q=0.8, *;q=0.1", "*", "deflate , GZIP"]
)
def test_gzip_is_accepted(header: str) -> None:
    assert accepts_gzip(header)


@pytest.mark.parametrize(
    "header", ["", "identity", "br", "gzip;q=0", "gzip; q=0.000, br", "x-gzipped", "*;q=0",
               "gzip;q=1.2.3"]
)  # fmt: skip
def test_gzip_is_not_accepted(header: str) -> None:
    assert not accepts_gzip(header)
