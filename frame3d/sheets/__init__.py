"""Dimensioned drawings of a frame: DXF, PDF and SVG, and a DXF file for each part.

What stands where is worked out first, as plain values, and then written. A view says what it
shows and which sizes, marks and tables are wanted (``views``, ``shop``, ``details``); their
places are found for all of them at once (``annotation``); views are scaled, broken and put on
sheets (``layout``), sheets gathered (``sets``) and written (``write``).
"""
