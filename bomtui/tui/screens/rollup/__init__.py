"""Working on a proposal."""
