"""Bytes into text nodes with line and column, within limits; and nodes into models, with items."""
