"""The punch list on paper (`pages`), a page for each party that owes something (`tear_off`), its twins as data."""
