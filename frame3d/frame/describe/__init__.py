"""A frame in words and figures, for lists, sheets, findings and summary alike."""
