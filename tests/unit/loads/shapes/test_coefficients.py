from __future__ import annotations

from frame3d.loads.shapes import coefficients as of


def test_a_vault_beyond_the_figure_is_taken_as_its_limit() -> None:
    assert of.vault_coefficients(0.7, 0.1) == of.vault_coefficients(0.5, 0.1)
    assert of.vault_coefficients(0.01, 0.1) == of.vault_coefficients(0.05, 0.1)
