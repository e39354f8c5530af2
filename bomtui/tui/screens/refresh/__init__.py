"""Frozen parts beside the catalog."""
