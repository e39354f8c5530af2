"""Choosing by the effect on the proposal: where a load is served, which part is taken, where a module moves."""
