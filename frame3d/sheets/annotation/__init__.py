"""What is wanted beside a view, and the places that it finds."""
