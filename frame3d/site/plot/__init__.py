"""The plot that the tunnel stands on: its boundary, what stands on it, what crosses it.

Everything is in the axes of the frame: x across to the right, y along from the first hoop.
"""
