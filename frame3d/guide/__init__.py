"""The guide to put a frame up by: steps, lists, figures to check, drawings, as HTML and PDF."""

GUIDE_FILES = ("guide.html", "guide.pdf", "inspection.pdf", "inspection.csv")
"""What a guide is written as, and the record to keep once the tunnel stands."""

__all__ = ["GUIDE_FILES"]
