"""The uprights of an end wall and what runs across them."""
