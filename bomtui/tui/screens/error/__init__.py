"""A message."""
