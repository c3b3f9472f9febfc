"""Ties from side to side of a hoop, with their posts, webs and plates."""
