"""Chips beside the drivers that a variant may do without, or have cheaper: candidates only, nothing is judged here."""
