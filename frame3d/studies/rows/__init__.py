"""Rows: one design each, worked out, written at once, and read back."""
