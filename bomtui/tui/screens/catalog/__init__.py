"""The catalog: finding parts, looking at them side by side, and keeping them."""
