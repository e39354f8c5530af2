"""Reports that are read page by page."""
