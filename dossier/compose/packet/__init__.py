"""The registration packet (`registration`), its twins as JSON and CSV, its pages between papers."""
