"""What holds members together: bolts, clamps, screws, splices; and what each bolt goes through."""
