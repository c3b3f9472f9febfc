"""Headroom, doors, machines, the site, good practice."""
