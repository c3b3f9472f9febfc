"""The guide as HTML and PDF."""
