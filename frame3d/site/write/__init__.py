"""A site in words, tables and files."""
