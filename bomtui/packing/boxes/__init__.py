"""Fewer modules: which of them become one, what goes with that, and why others cannot."""
