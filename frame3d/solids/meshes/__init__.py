"""Triangles of solids, closed and apart."""
