"""What every file of the project must keep to, read from the source code itself."""
