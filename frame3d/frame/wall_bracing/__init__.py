"""End walls put together, with the braces that hold them."""
