"""The guide to put a frame up by: steps, lists, figures to check, drawings, as HTML and PDF."""

GUIDE_FILES = ("guide.html", "guide.pdf")
"""What a guide is written as."""

__all__ = ["GUIDE_FILES"]
