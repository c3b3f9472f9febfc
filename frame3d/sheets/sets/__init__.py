"""Whole sets of sheets."""
