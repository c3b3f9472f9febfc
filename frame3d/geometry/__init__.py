"""Pure numbers: shapes, distances, places, lengths."""
