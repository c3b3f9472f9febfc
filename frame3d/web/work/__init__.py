"""What worker processes do for the page, and how they are asked."""
