"""What follows from case and facts: figures, conditions, levels, coverages, statements."""
