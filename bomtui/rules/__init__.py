"""Checks of a computed proposal, one per file, each returning findings."""
