"""What ties the hoops together along the sides: rails, braces, boards, side openings."""
