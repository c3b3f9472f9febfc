"""Parts, members and the frame as plain values, and what every family of members needs."""
