"""Coefficients of snow and wind against the published ones: EN 1991-1-3, EN 1991-1-4."""

from __future__ import annotations

import pytest

from frame3d.loads.shapes import coefficients as of


def test_drifted_snow() -> None:
    # EN 1991-1-3, 5.3.5: 0.2 + 10 h / b, at most 2.
    assert of.drift_coefficient(1.0, 10.0) == pytest.approx(1.2)
    assert of.drift_coefficient(0.5, 10.0) == pytest.approx(0.7)
    assert of.drift_coefficient(3.0, 10.0) == 2.0


def test_vaults_as_the_figure_is_read() -> None:
    # f 2.51 m, h 3.20 m, d 9.60 m: A +0.25, B -0.96, C -0.40, EN 1991-1-4, figure 7.11, as a worked
    # example reads it (which one is not known any more: from memory). A +0.42 at h/d 0 and +0.16
    # from 0.5 on: EN 1991-1-4, figure 7.11, from memory.
    assert of.vault_coefficients(0.26, 0.33) == pytest.approx((0.25, -0.96, -0.40), abs=0.01)
    assert of.vault_coefficients(0.26, 0.0)[0] == pytest.approx(0.42, abs=0.01)
    assert of.vault_coefficients(0.26, 0.5)[0] == pytest.approx(0.16, abs=0.01)
    assert of.vault_coefficients(0.26, 0.9) == of.vault_coefficients(0.26, 0.5)


@pytest.mark.parametrize(
    ("height", "wanted"),
    # EN 1991-1-4, table 7.1, zones D and E, c_pe,10.
    [(5.0, (0.8, -0.7)), (1.0, (0.8, -0.5)), (0.25, (0.7, -0.3)), (0.1, (0.7, -0.3))],
)
def test_walls(height: float, wanted: tuple[float, float]) -> None:
    assert of.wall_coefficients(height) == pytest.approx(wanted)


def test_sides_beside_the_wind() -> None:
    # EN 1991-1-4, table 7.1, zones A, B and C, c_pe,10, and figure 7.5 for where they lie.
    assert [of.side_coefficient(share) for share in (0.1, 0.5, 1.5)] == [-1.2, -0.8, -0.5]


def test_pressure_inside() -> None:
    # EN 1991-1-4, 7.2.9 (6) note 2; (5) a dominant face: 0.75 of the pressure on it.
    assert of.inside_coefficients(False, 0.7, -0.3) == (0.2, -0.3)
    assert of.inside_coefficients(True, 0.8, -0.5) == pytest.approx((0.6, -0.375))
