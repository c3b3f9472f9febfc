"""What people look at: the page of a study, one file that needs no network, and pictures."""
