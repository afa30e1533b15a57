"""Finished bytes onto the disk, whole or not at all, and whether they still stand."""
