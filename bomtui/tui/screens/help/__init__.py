"""All keys."""
