"""Doors: frames, leaves, hinges, tracks and what holds them."""
