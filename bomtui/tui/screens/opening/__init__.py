"""A proposal is being opened."""
