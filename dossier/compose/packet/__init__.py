"""The registration packet (`registration`), its twins as JSON and CSV, a page before each paper (`dividers`)."""
