"""Tubes face by face: surfaces, bores, flattened ends."""
