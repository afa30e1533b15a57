"""One module a command: a call to the rooms, and a printed result."""
