"""Fewer or cheaper drivers."""
