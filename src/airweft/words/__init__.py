"""Actions put into rows, folded repeats and sentences."""
