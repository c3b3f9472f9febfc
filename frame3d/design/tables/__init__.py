"""The tables of a design and their fields, as models."""
