"""One folder per screen: the screen, its layout, and what it shows as plain data."""
