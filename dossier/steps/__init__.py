"""What the steps of the walk are made of; `pipeline.py` takes them in order."""
