"""What the program says of itself without opening anything: its purpose, its version, the cautions.

Loaded before the first screen stands, so it imports next to nothing.
"""

from bomtui.export.cautions import CAUTIONS, DEMO_MARK, DEMO_NOTICE, ESTIMATES

__all__ = ["CAUTIONS", "DEMO_MARK", "DEMO_NOTICE", "ESTIMATES", "version"]

DISTRIBUTION = "bomtui"
NOT_INSTALLED = "(not installed)"
PURPOSE = "From vehicle loads to controllers, drivers, supplies and a costed parts list, in the terminal."


def version() -> str:
    """Return the version of the installed program."""
    from importlib import metadata

    try:
        return metadata.version(DISTRIBUTION)
    except metadata.PackageNotFoundError:
        return NOT_INSTALLED
