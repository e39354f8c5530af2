"""bomtui: from vehicle loads to a costed parts list, in the terminal."""

__version__ = "0.1.0"
