"""Working rows out in other processes, here or elsewhere."""
