"""What closes the frame, in figures: film, channel, curtains."""
