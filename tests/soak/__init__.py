"""Longer sweeps, run by hand: `python -m tests.soak.kills`. Results are in docs/soak.md."""
