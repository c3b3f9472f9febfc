"""Pictures of a frame, drawn from its model file."""
