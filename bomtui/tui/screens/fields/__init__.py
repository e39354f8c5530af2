"""Fields of a record."""
