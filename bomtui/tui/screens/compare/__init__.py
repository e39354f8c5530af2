"""Two variants or revisions side by side."""
