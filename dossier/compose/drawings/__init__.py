"""What is drawn: the eave in section, the roof in plan, the attic, every coverage on one line of years."""
