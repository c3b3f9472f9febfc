"""Checks: what fits, what clears, what clashes, told as findings before any steel is cut."""
