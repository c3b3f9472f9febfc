"""What to order and how to cut it, from the frame alone."""
