"""What was driven, and whether hoops and rails will go on it."""
