"""Design files and lists of the user, read with every fault told by its line."""
