"""The index of one office folder: plain rows in one SQLite file, always to be made again from the folders."""
