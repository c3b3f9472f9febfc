"""A design: what the user wants, from their file to values with all defaults filled in."""
