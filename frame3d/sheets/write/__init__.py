"""Sheets as DXF, PDF and SVG, and the pages of the guide."""
