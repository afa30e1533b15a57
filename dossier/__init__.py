"""dossier: closeout and warranty papers for residential asphalt-shingle re-roofing."""

__version__ = "0.1.0"

RECORD_VERSION = 1
"""The newest record version this tool reads. A job file says which one it was written in."""
