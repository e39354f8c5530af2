"""Cost over volume and years."""
