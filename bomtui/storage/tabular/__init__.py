"""Sheets as text: encoding, separator, headers with units, and rows to loads; nothing is guessed in silence."""
