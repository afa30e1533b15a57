"""Pages of ready-to-print strings, no HTML: a room a document, `parts` that several share, and drawings."""
