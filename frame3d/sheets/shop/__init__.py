"""Sheets of what the shop bends, cuts and drills."""
