"""The parts of the campaign: what is tried, how, by whom, and what is told of it."""
