"""The comparison and the engineer's model in words, tables, pictures and files."""
