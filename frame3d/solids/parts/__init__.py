"""One solid for each distinct part."""
