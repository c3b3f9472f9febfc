"""Details at a large scale."""
