"""All that belongs to the vehicle."""
