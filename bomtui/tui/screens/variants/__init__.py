"""Choosing a variant."""
