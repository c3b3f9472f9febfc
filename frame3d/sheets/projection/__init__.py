"""How members look from a side, hidden lines, and cuts."""
