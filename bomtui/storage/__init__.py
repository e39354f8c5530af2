"""Files and databases: proposals, frozen parts, the catalog; the only layer that reads and writes them."""
