"""Which members are near each other, how far apart, and what is meant to touch."""
