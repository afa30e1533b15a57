"""Pages of ready-to-print strings, one module a document; no HTML."""
