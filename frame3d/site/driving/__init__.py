"""How high the string runs, and how deep each socket goes."""
