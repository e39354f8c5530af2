"""The costed parts list of a variant as a file."""

from collections.abc import Callable
from pathlib import Path

from bomtui.export.cautions import DEMO_MARK
from bomtui.export.csv import parts_list_csv
from bomtui.export.json import json_bytes
from bomtui.export.markdown import parts_list_markdown
from bomtui.export.parts_list_record import LineRecord, PartsListRecord, parts_list_record
from bomtui.services.artefact import basis
from bomtui.services.errors import BomtuiError
from bomtui.services.files import write_output
from bomtui.services.review import Reviewed
from bomtui.services.rollup import Computed

__all__ = [
    "SUFFIXES", "LineRecord", "PartsListRecord", "default_name", "format_of", "parts_list", "parts_list_bytes",
    "write_parts_list",
]  # fmt: skip

_WRITERS: dict[str, Callable[[PartsListRecord], bytes]] = {
    "csv": parts_list_csv,
    "json": json_bytes,
    "md": parts_list_markdown,
}
SUFFIXES = tuple(f".{name}" for name in _WRITERS)
"""File name endings that say in which format a parts list is written."""


def parts_list(reviewed: Reviewed) -> PartsListRecord:
    """Return the costed parts list of a variant."""
    return parts_list_record(basis(reviewed))


def parts_list_bytes(reviewed: Reviewed, file_format: str) -> bytes:
    """Return the parts list in a file format.

    Args:
        reviewed: The variant, computed and reviewed.
        file_format: `csv`, `json` or `md`.
    """
    return _WRITERS[file_format](parts_list(reviewed))


def format_of(path: Path) -> str:
    """Return the file format that the ending of a file name asks for.

    Raises:
        BomtuiError: It asks for none that a parts list is written in.
    """
    name = path.suffix.lower().removeprefix(".")
    if name not in _WRITERS:
        raise BomtuiError(f"{path}: expected a file name that ends in {', '.join(SUFFIXES)}")
    return name


def default_name(computed: Computed, file_format: str = "csv") -> str:
    """Return a file name for the parts list of a variant; one of invented data says so."""
    opened = computed.opened
    words = [opened.stem, computed.variant, "parts-list"]
    if opened.snapshot.proposal.proposal.demo:
        words.append(DEMO_MARK.replace(" ", "-"))
    return f"{'_'.join(words)}.{file_format}"


def is_unmarked_demo(computed: Computed, path: Path) -> bool:
    """Tell whether a file would hold invented data under a name that does not say so."""
    return computed.opened.snapshot.proposal.proposal.demo and "demo" not in path.name.lower()


def write_parts_list(reviewed: Reviewed, path: Path, *, overwrite: bool = True) -> None:
    """Write the parts list to a file, its format by the file name.

    Args:
        reviewed: The variant, computed and reviewed.
        path: Where to.
        overwrite: Whether a file of that name may be replaced.

    Raises:
        FileExistsAlreadyError: There is such a file and it may not be replaced.
        BomtuiError: The name asks for no known format, or the file cannot be written.
    """
    write_output(path, parts_list_bytes(reviewed, format_of(path)), overwrite=overwrite)
