"""Packing with a linear and integer solver: better packings and the prices that prove them. Loaded in a child only."""
