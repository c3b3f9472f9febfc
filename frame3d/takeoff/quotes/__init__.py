"""The order as suppliers are asked for it, and what their price lists make of it."""
