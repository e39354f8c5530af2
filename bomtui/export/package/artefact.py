"""An artefact of a quotation package: its record, and the tables that it is printed as."""

from dataclasses import dataclass

from bomtui.export.records import Heading, Record
from bomtui.export.table import Table


@dataclass(frozen=True, slots=True)
class Artefact:
    """One artefact.

    Attributes:
        name: Name in file names, such as `thermal-sheet`.
        title: What people call it.
        heading: What every artefact carries, with its own title.
        record: What its JSON holds.
        tables: What all other formats print.
    """

    name: str
    title: str
    heading: Heading
    record: Record
    tables: tuple[Table, ...]
