"""Fewest chips: options, greedy packing, bounds, proofs and reasons why not. Pure; only `solver` knows a solver."""
