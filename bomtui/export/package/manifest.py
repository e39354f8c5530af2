"""The list of the files of a package, by which a reader can tell that none was changed or left out."""

from typing import Annotated

from msgspec import Meta

from bomtui.export.records import Count, Heading, Record


class FileRecord(Record, frozen=True, kw_only=True):
    """One file."""

    name: str
    artefact: Annotated[str, Meta(description="what it holds, such as thermal-sheet")]
    format: str
    bytes: Count
    sha256: Annotated[str, Meta(description="SHA-256 of its bytes", pattern="^[0-9a-f]{64}$")]


class Manifest(Heading, frozen=True, kw_only=True):
    """All other files of a package."""

    files: tuple[FileRecord, ...]
