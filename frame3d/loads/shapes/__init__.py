"""Unit loads: their shapes, each with its source; never a size."""
