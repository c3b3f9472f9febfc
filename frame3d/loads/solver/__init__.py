"""Straight bars in space: linear, second order, buckling. Knows nothing of tunnels."""
