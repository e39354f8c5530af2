"""Faults that people met in public, and which test holds each of them."""
