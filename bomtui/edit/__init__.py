"""Named edits of a proposal and their history: pure, from one snapshot to the next."""
