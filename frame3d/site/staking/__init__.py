"""Every place to stake, the corners squared, and where that lies on the map."""
