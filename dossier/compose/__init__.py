"""Pages of ready-to-print strings, no HTML: a room for each kind of document; `parts` and `drawings` for all."""
