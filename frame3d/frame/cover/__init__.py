"""What closes the frame: channel, and the curtains of side openings."""
