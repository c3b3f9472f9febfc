"""Pages for people that are no drawings: tables over several pages, and labels."""
