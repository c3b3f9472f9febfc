"""Whether the parts go together."""
