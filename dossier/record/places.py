"""Where the records of a closed job lie; apart from the models, since looking at files needs none of them.

In: nothing. Out: names. Must not read anything.
"""

SEALED = "sealed"
"""The folder in a job folder that holds what is sealed, one folder for the closing and for each entry."""

ENTRY_FILE = "data/entry.yaml"
"""Where an entry lies in its own folder under `sealed/`."""
