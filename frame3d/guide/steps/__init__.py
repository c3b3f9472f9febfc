"""The steps of the work: what each puts up, what it takes, and how long."""
