"""The frame: every member of a design in its place."""
