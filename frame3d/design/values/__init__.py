"""What models know of their fields, defaults that follow others, what new designs begin with."""
