"""The room that a frame leaves, and what stands in it."""
