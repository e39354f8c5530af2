"""Make a quotation package: all its files as bytes, before anything is written."""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from bomtui.engine.exchange import worth_of
from bomtui.export.facts import standing_text
from bomtui.export.json import json_bytes
from bomtui.export.notation import CURRENCY_FORMATS, PLAIN_NOTATION, SEPARATORS, CurrencyFormat, Notation, NotationError
from bomtui.export.package.artefact import Artefact
from bomtui.export.package.manifest import FileRecord, Manifest
from bomtui.export.package.text_files import artefact_csv, artefact_markdown
from bomtui.export.parts_list_record import PartsListRecord
from bomtui.export.records import heading
from bomtui.services.compare import Comparison, compare
from bomtui.services.errors import BomtuiError
from bomtui.services.package.gather import artefacts
from bomtui.services.package.naming import MANIFEST, file_stem
from bomtui.services.package.subject import Subject
from bomtui.services.review import Reviewed

__all__ = [
    "CURRENCY_FORMATS", "FORMATS", "PAPERS", "SEPARATORS", "CurrencyFormat", "File", "Format", "Options", "Package",
    "Paper", "notation_of", "package",
]  # fmt: skip

Format = Literal["html", "xlsx", "csv", "md", "json", "cyclonedx"]
FORMATS: tuple[Format, ...] = ("html", "xlsx", "csv", "md", "json", "cyclonedx")
"""html is one document of everything, cyclonedx one bill of materials; the others are written per artefact."""
Paper = Literal["A4", "Letter"]
PAPERS: tuple[Paper, ...] = ("A4", "Letter")


@dataclass(frozen=True, slots=True)
class Options:
    """How a package is written.

    Attributes:
        formats: Formats that are wanted.
        notation: How numbers are written.
        paper: Paper that workbooks are set up for.
        forced: Whether it says that it is sent whatever the errors.
    """

    formats: tuple[Format, ...] = FORMATS
    notation: Notation = PLAIN_NOTATION
    paper: Paper = "A4"
    forced: bool = False


@dataclass(frozen=True, slots=True)
class File:
    """One file of a package."""

    name: str
    artefact: str
    format: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Package:
    """All files of a package.

    Attributes:
        files: The files; the last one lists the others.
        standing: Whether it may be sent, as a sentence.
        may_be_sent: Whether it may: nothing stands against it, or it was forced.
    """

    files: tuple[File, ...]
    standing: str
    may_be_sent: bool


def notation_of(*, decimal_comma: bool, separator: str | None, currency: CurrencyFormat) -> Notation:
    """Return how numbers are written.

    Args:
        decimal_comma: Whether the decimal mark is a comma.
        separator: Name of what stands between cells; None for a comma, or a semicolon beside a decimal comma.
        currency: Where the currency stands.

    Raises:
        BomtuiError: Decimal mark and separator cannot be told apart.
    """
    if separator is not None and separator not in SEPARATORS:
        raise BomtuiError(f"expected {', '.join(SEPARATORS)} between cells, found '{separator}'; nothing was written")
    chosen = separator or ("semicolon" if decimal_comma else "comma")
    try:
        return Notation(decimal_comma=decimal_comma, separator=SEPARATORS[chosen], currency=currency)
    except NotationError as error:
        raise BomtuiError(f"{error}; nothing was written") from error


def package(reviewed: Reviewed, other: Reviewed | None, options: Options | None = None) -> Package:
    """Make the package of a variant.

    Args:
        reviewed: The variant, computed and reviewed.
        other: A variant that it is compared with; None for no comparison.
        options: How it is written; None for the usual way.
    """
    chosen = Options() if options is None else options
    subject = Subject(reviewed, chosen.forced)
    comparison: Comparison | None = None if other is None else compare(reviewed, other)
    gathered = artefacts(subject, comparison)
    files = tuple(_files(subject, gathered, chosen))
    record = Manifest(**heading(subject.basis, "Files of the package"), files=tuple(map(_entry, files)))  # type: ignore[arg-type]
    listed = File(_name(subject, MANIFEST, "json"), MANIFEST, "json", json_bytes(record))
    return Package(files=(*files, listed), standing=standing_text(record), may_be_sent=record.sendable or record.forced)


def _files(subject: Subject, gathered: Sequence[Artefact], options: Options) -> Iterator[File]:
    if "html" in options.formats:
        # Libraries of documents are loaded where a document is written.
        from bomtui.export.html.page import package_html

        yield File(_name(subject, MANIFEST, "html"), MANIFEST, "html", package_html(gathered, options.notation))
    if "cyclonedx" in options.formats:
        from bomtui.export.package.cyclonedx import NAME, hardware_bom

        yield File(_name(subject, NAME, "cdx.json"), NAME, "cyclonedx", hardware_bom(subject.basis))
    for artefact in gathered:
        for form in options.formats:
            if form == "xlsx":
                yield _file(subject, artefact.name, artefact, form, _workbook(subject, artefact, options))
            elif form == "md":
                yield _file(subject, artefact.name, artefact, form, artefact_markdown(artefact, options.notation))
            elif form == "json":
                yield _file(subject, artefact.name, artefact, form, json_bytes(artefact.record))
            elif form == "csv":
                for table in artefact.tables:
                    name = "-".join(filter(None, (artefact.name, table.name)))
                    yield _file(subject, name, artefact, form, artefact_csv(artefact, table, options.notation))


def _workbook(subject: Subject, artefact: Artefact, options: Options) -> bytes:
    record = artefact.record
    if not isinstance(record, PartsListRecord):
        from bomtui.export.package.xlsx import artefact_xlsx

        return artefact_xlsx(artefact, options.notation, options.paper)
    from bomtui.export.package.parts_list_xlsx import parts_list_xlsx

    programme, own = subject.proposal.programme, subject.proposal.proposal.currency
    worth = {currency: worth_of(programme, currency, own) for currency in programme.exchange}
    return parts_list_xlsx(
        record,
        subject.parts,
        {currency: rate for currency, rate in worth.items() if rate is not None},
        subject.proposal.settings.rates.attrition_ratio,
        options.notation,
        options.paper,
    )


def _file(subject: Subject, name: str, artefact: Artefact, form: Format, data: bytes) -> File:
    return File(_name(subject, name, form), artefact.name, form, data)


def _name(subject: Subject, name: str, ending: str) -> str:
    return f"{file_stem(subject.reviewed.computed, name)}.{ending}"


def _entry(file: File) -> FileRecord:
    return FileRecord(
        name=file.name,
        artefact=file.artefact,
        format=file.format,
        bytes=len(file.data),
        sha256=hashlib.sha256(file.data).hexdigest(),
    )
