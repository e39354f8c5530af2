"""How a package is written."""
