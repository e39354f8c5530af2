"""Taking in a customer's load list."""
