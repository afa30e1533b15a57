"""What is asked of people, so that a typed fact settles what the punch list has open."""
