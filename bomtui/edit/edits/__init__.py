"""The edits, one subject per file."""
