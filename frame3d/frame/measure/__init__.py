"""Volume, mass and centre of parts, by arithmetic."""
