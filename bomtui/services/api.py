"""The Python interface: open a proposal, compute it, review it, compare it, export it.

Results are typed records with the fields of the published JSON Schemas, or plain rows for a data frame. A variant is
computed and reviewed when it is first asked for, and once.
"""

from collections.abc import Sequence
from decimal import Decimal
from functools import cached_property
from os import PathLike
from pathlib import Path

from bomtui.export.compare_record import CompareRecord
from bomtui.export.csv import Numeral
from bomtui.export.package.artefact import Artefact
from bomtui.export.parts_list_record import PartsListRecord, parts_list_record
from bomtui.export.records import Record
from bomtui.export.review_record import ReviewRecord, review_record
from bomtui.export.rollup_record import RollupRecord, rollup_record
from bomtui.export.table import Cell, FigureCell, Kind, flat
from bomtui.services.artefact import basis
from bomtui.services.compare import compare
from bomtui.services.compare_artefact import compare_record
from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.services.open import Opened, Problem, open_proposal
from bomtui.services.other_variant import other_variant
from bomtui.services.package.gather import artefacts
from bomtui.services.package.package import FORMATS, CurrencyFormat, Format, Options, Paper, notation_of, package
from bomtui.services.package.subject import Subject
from bomtui.services.package.write import write_package
from bomtui.services.review import Reviewed, review
from bomtui.services.rollup import chosen_variant, compute, variant_ids

__all__ = ["BomtuiError", "Proposal", "open_file"]

Plain = str | int | float | Decimal | None
"""What stands in a plain row: words, counts, quantities in the unit of the header, exact amounts, None for unknown."""


def open_file(path: str | PathLike[str]) -> "Proposal":
    """Open a proposal file, or the one proposal of a folder.

    A half-broken file opens with its problems listed in `Proposal.problems`; what is faulty is in no figure.

    Args:
        path: The file or folder.

    Raises:
        BomtuiError: Nothing of it can be read; the sentence names file, line and what was expected.
    """
    return Proposal(open_proposal(Path(path)))


class Proposal:
    """An open proposal; where no variant is named, the one that it shows first is meant.

    Attributes:
        opened: The open proposal as the commands and screens have it.
    """

    def __init__(self, opened: Opened) -> None:
        """Take an open proposal; `bomtui.open` gives one."""
        self.opened = opened
        self._known: dict[str, Reviewed] = {}
        self._gathered: dict[str, dict[str, Artefact]] = {}

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything that is wrong with the files."""
        return self.opened.problems

    @cached_property
    def variants(self) -> tuple[str, ...]:
        """Ids of the variants, the one that is shown first before the others."""
        return variant_ids(self.opened.snapshot.proposal)

    @property
    def content_hash(self) -> str:
        """Hash of the content, as artefacts print it."""
        return self.opened.content_hash

    def rollup(self, variant: str | None = None) -> RollupRecord:
        """Return every figure of a variant.

        Raises:
            BomtuiError: There is no such variant.
        """
        return rollup_record(basis(self.reviewed(variant)))

    def review(self, variant: str | None = None) -> ReviewRecord:
        """Return the findings of a variant, and what was checked.

        Raises:
            BomtuiError: There is no such variant.
        """
        return review_record(basis(self.reviewed(variant)))

    def parts_list(self, variant: str | None = None) -> PartsListRecord:
        """Return the costed parts list of a variant.

        Raises:
            BomtuiError: There is no such variant.
        """
        return parts_list_record(basis(self.reviewed(variant)))

    def compare(
        self, first: str | None = None, second: str | None = None, other: "Proposal | None" = None
    ) -> CompareRecord:
        """Return two variants side by side; every difference is second less first.

        Args:
            first: Variant of this proposal.
            second: Variant of the second side; None for the next one, or of another proposal for that of the same id.
            other: Proposal of the second side; None for this one.

        Raises:
            BomtuiError: There is no such variant.
        """
        one = self.reviewed(first)
        side = self if other is None else other
        proposal = side.opened.snapshot.proposal
        name = second or other_variant(proposal, one.computed.variant, is_same_file=side is self)
        return compare_record(compare(one, side.reviewed(name)))

    def artefacts(self, variant: str | None = None) -> dict[str, Record]:
        """Return the records of all artefacts of a variant by their names, such as `thermal-sheet`.

        What needs a second variant is not among them: that is `compare`.

        Raises:
            BomtuiError: There is no such variant.
        """
        return {name: artefact.record for name, artefact in self._artefacts(variant).items()}

    def rows(self, artefact: str, variant: str | None = None, table: str = "") -> list[dict[str, Plain]]:
        """Return a table of an artefact as plain rows for a data frame; the headers carry the units.

        Args:
            artefact: Name of the artefact, such as `thermal-sheet`.
            variant: The variant.
            table: Name of the table; empty for the first one.

        Raises:
            BomtuiError: There is no such variant, artefact or table.
        """
        known = self._artefacts(variant)
        if artefact not in known:
            raise UnknownNameError(f"there is no artefact '{artefact}'; the artefacts are {', '.join(known)}")
        tables = {own.name: own for own in known[artefact].tables}
        if table not in tables:
            names = ", ".join(name for name in tables if name)
            raise UnknownNameError(f"there is no table '{table}' of {artefact}; it has further ones: {names or 'none'}")
        plain = flat(tables[table])
        heads = [(column.header, column.kind) for column in plain.columns]
        return [
            {header: _plain(cell, kind) for (header, kind), cell in zip(heads, row, strict=True)} for row in plain.rows
        ]

    def export(
        self,
        folder: str | PathLike[str],
        variant: str | None = None,
        *,
        compared_with: str | None = None,
        formats: Sequence[Format] = FORMATS,
        decimal_comma: bool = False,
        separator: str | None = None,
        currency: CurrencyFormat = "header",
        paper: Paper = "A4",
        force: bool = False,
        overwrite: bool = False,
    ) -> tuple[str, ...]:
        """Write the package of a variant: all of it, or nothing.

        Args:
            folder: Folder to make, or an empty one, or with `overwrite` an unchanged former package.
            variant: The variant.
            compared_with: Variant that it is compared with; None for the next one.
            formats: Formats that are wanted.
            decimal_comma: Whether the decimal mark is a comma.
            separator: `comma`, `semicolon` or `tab`.
            currency: `header`, `code` or `symbol`.
            paper: `A4` or `Letter`, of the workbooks.
            force: Whether every file says that it is sent in spite of errors.
            overwrite: Whether an unchanged former package may be replaced.

        Returns:
            Names of the written files.

        Raises:
            BomtuiError: There is no such variant, or it cannot be written; nothing was.
        """
        wrong = [name for name in formats if name not in FORMATS]
        if wrong:
            raise UnknownNameError(f"there is no format '{wrong[0]}'; the formats are {', '.join(FORMATS)}")
        notation = notation_of(decimal_comma=decimal_comma, separator=separator, currency=currency)
        reviewed = self.reviewed(variant)
        name = compared_with
        if name is None and len(self.variants) > 1:
            name = other_variant(self.opened.snapshot.proposal, reviewed.computed.variant, is_same_file=True)
        other = None if name is None else self.reviewed(name)
        made = package(reviewed, other, Options(tuple(formats), notation, paper, force))
        write_package(made, Path(folder), overwrite=overwrite)
        return tuple(file.name for file in made.files)

    def reviewed(self, variant: str | None = None) -> Reviewed:
        """Return a variant as the commands and screens have it, computed and reviewed.

        Raises:
            BomtuiError: There is no such variant.
        """
        name = chosen_variant(self.opened.snapshot.proposal, variant)
        if name not in self._known:
            self._known[name] = review(compute(self.opened, name))
        return self._known[name]

    def _artefacts(self, variant: str | None) -> dict[str, Artefact]:
        reviewed = self.reviewed(variant)
        name = reviewed.computed.variant
        if name not in self._gathered:
            found = artefacts(Subject(reviewed), None)
            self._gathered[name] = {artefact.name: artefact for artefact in found}
        return self._gathered[name]


def _plain(cell: Cell, kind: Kind) -> Plain:
    """Return a cell as a plain value."""
    if isinstance(cell, FigureCell):
        raise TypeError("a figure has several cells in a row")
    if not isinstance(cell, Numeral):
        return cell or None
    if kind == "amount":
        return Decimal(cell)
    number = float(cell)
    return int(number) if number.is_integer() and "." not in cell else number
