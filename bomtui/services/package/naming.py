"""Names of a package and its files; loaded before the first screen stands, so it imports next to nothing."""

from bomtui.export.cautions import DEMO_MARK
from bomtui.services.rollup import Computed

MANIFEST = "package"
"""Name of the document of everything, and of the list of files."""


def default_folder(computed: Computed) -> str:
    """Return a folder name for the package of a variant; one of invented data says so."""
    return file_stem(computed, MANIFEST)


def file_stem(computed: Computed, name: str) -> str:
    """Return the name of a file without its ending; one of invented data says so.

    Args:
        computed: The variant.
        name: What the file holds.
    """
    words = [computed.opened.stem, computed.variant, name]
    if computed.opened.snapshot.proposal.proposal.demo:
        words.append(DEMO_MARK.replace(" ", "-"))
    return "_".join(words)
