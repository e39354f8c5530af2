"""List of findings."""
