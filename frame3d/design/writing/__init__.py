"""Design files written, changed with their comments kept, and described by a schema."""
