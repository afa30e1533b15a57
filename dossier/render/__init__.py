"""Pages of ready-to-print strings, with `templates/`, into one PDF per part; no judgement."""
