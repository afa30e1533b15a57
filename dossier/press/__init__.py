"""A checked job into the bytes of its files, and what rides inside them."""
