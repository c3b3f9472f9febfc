"""What is said in each step."""
