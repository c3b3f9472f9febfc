"""What can be asked of a design: figures with names and units."""
