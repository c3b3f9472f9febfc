"""What comes of the rows: tables, the best of them, what moves which figure, a page."""
