"""Formulas by subject and the one gate that calls them; pure functions over model values."""
