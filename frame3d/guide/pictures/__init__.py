"""The drawings of the guide."""
