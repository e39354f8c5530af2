"""Every command by its name."""
