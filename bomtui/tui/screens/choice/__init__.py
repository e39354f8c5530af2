"""Choosing one of a few."""
