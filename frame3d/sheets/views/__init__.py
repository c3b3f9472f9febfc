"""Views of the whole frame, of its walls and of its site."""
