"""The block diagram."""
