"""The page of a study: one file that needs nothing else, from disk and without a network."""
