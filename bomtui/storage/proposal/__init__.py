"""The proposal file: read with every fault listed, written in one canonical form."""
