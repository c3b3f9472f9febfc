"""Levels of the ground, and the surface through them."""
