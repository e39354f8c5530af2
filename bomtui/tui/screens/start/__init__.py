"""Opening a proposal."""
