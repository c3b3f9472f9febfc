"""The guide to put a frame up by: steps, lists, figures to check, drawings, as HTML and PDF."""

from frame3d.guide.files import GUIDE_FILES, write_guide
from frame3d.guide.make import guide_of

__all__ = ["GUIDE_FILES", "guide_of", "write_guide"]
