"""What is drawn: eaves in section, the roof in plan, how the attic breathes, each coverage on a line of years."""
