"""What is lost with every single thing."""
