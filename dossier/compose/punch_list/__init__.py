"""The punch list on paper (`pages`), a page for one party (`tear_off`), its twins as JSON and CSV."""
