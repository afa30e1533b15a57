"""Finished folders into sealed bags that show a later change, and the check of them."""
