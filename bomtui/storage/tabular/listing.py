"""From a file to one table with recognised columns: which sheet, which table, which column; what is open is asked."""

import dataclasses
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from bomtui.model.plain_text import clean, clean_lines
from bomtui.model.quantity import dimension_named
from bomtui.storage.field_text import FieldError, shown
from bomtui.storage.problems import Problem
from bomtui.storage.proposal.toml_file import UnreadableError
from bomtui.storage.tabular.answers import IGNORE, TAKEN_ANSWERS, Answers, Question
from bomtui.storage.tabular.decimal_mark import FoundMark, find_decimal_mark
from bomtui.storage.tabular.header import AmbiguousHeaderError, Header, Vocabulary, word_of
from bomtui.storage.tabular.layout import Table, find_tables
from bomtui.storage.tabular.opening import open_sheets
from bomtui.storage.tabular.record import UNUSABLE, Mark, Record, Sheet
from bomtui.storage.tabular.stated_sums import sums_that_differ

_SHOWN_CELLS = 8
_LISTED_LINES = 12
_NO_MARK = FoundMark(0, 0)


class Cell(NamedTuple):
    """A cell that holds something, below its header; `mark` says what it is where it is no text."""

    header: Header
    text: str
    mark: Mark | None = None

    @property
    def decimal_mark(self) -> str | None:
        """The decimal mark of a number of a workbook; None for text."""
        return "." if self.mark is not None and self.mark.kind in {"number", "zeros", "long"} else None

    def check_usable(self) -> None:
        """Refuse a cell of which no value can be taken.

        Raises:
            FieldError: It is a formula without a result, a fault value, or a day where none can be meant.
        """
        if self.mark is None:
            return
        if self.mark.kind in UNUSABLE:
            raise FieldError(f"{UNUSABLE[self.mark.kind]} ({clean(self.mark.text)})", "a value")
        takes_days = self.header.info is not None and self.header.info.shape in {"date", "text"}
        if self.mark.kind == "date" and (not takes_days or self.header.key in IDENTITY_KEYS):
            raise FieldError(
                f"the day {self.mark.text}", "what was typed", f"a spreadsheet has made the day {self.mark.text} of it"
            )
        if self.mark.kind == "long" and self.header.key in IDENTITY_KEYS:
            raise FieldError(shown(self.text), "an identifier as text, found a number of which digits may be lost")


IDENTITY_KEYS = frozenset(("id", "customer_ref", "part", "mpn", "sku", "refs"))
"""Columns of names, which are never numbers and never days."""


@dataclasses.dataclass(slots=True)
class Listing:
    """One table on its way to records.

    Attributes:
        file: Name of the file for messages.
        answers: What was said of it beforehand.
        problems: What cannot be taken.
        notices: What was decided in reading it.
        questions: What is open.
        headers: Header of each column; None for one that is not taken.
        header_texts: Header of each column as written.
        header_line: Line of the header row.
        records: Rows below it.
        headings: Heading above a row by the row's line.
        decimal_mark: Decimal mark of its numbers, as far as it is known.
        found_mark: What its cells tell of it.
    """

    file: str
    answers: Answers
    problems: list[Problem] = dataclasses.field(default_factory=list)
    notices: list[str] = dataclasses.field(default_factory=list)
    questions: list[Question] = dataclasses.field(default_factory=list)
    headers: list[Header | None] = dataclasses.field(default_factory=list)
    header_texts: tuple[str, ...] = ()
    header_line: int = 1
    records: tuple[Record, ...] = ()
    headings: dict[int, str] = dataclasses.field(default_factory=dict)
    decimal_mark: str | None = None
    found_mark: FoundMark = _NO_MARK

    def problem(
        self, line: int | None, message: str, column: str = "", error: FieldError | None = None, name: str = ""
    ) -> None:
        """Report something that is not taken."""
        self.problems.append(
            Problem(
                file=self.file,
                message=message,
                line=line,
                column=column,
                field=clean(name),
                found=error.found if error else "",
                expected=error.expected if error else "",
            )
        )

    def has(self, key: str) -> bool:
        """Tell whether a column of a field is there."""
        return any(header is not None and header.key == key for header in self.headers)

    def cells(self, record: Record) -> list[Cell]:
        """Pair the filled cells of a row with their headers, and report what stands under none."""
        if record.fault:
            self.problem(record.line, f"expected a row of cells, found {record.fault}; the row is not taken")
            return []
        cells: list[Cell] = []
        for number, text in enumerate(record.cells):
            mark = record.marks.get(number)
            stripped = text if text.isascii() and text.isprintable() else "\n".join(clean_lines(text))
            stripped = stripped.strip()
            if not stripped and (mark is None or mark.kind not in UNUSABLE):
                continue
            if number >= len(self.headers) or not self.header_texts[number]:
                if mark is None or stripped:
                    message = f"expected no cell without a header, found {shown(stripped)} in column {number + 1}"
                    self.problem(record.line, message)
                continue
            header = self.headers[number]
            # What stands under a header that was not recognised has been reported with the header.
            if header is not None:
                cells.append(Cell(header, stripped, mark))
        return cells

    def columns(self, wanted: Callable[[Header], bool]) -> Iterator[str]:
        """Yield the text cells of the columns that are wanted."""
        places = [place for place, header in enumerate(self.headers) if header is not None and wanted(header)]
        for record in self.records:
            for place in places:
                if place < len(record.cells) and place not in record.marks:
                    yield record.cells[place]


def open_listing(path: Path, vocabulary: Vocabulary, answers: Answers) -> Listing:
    """Open a file and recognise its table; nothing is raised for any content."""
    listing = Listing(clean(str(path)), answers)
    try:
        opened = open_sheets(path, answers.encoding, answers.separator_sign)
    except UnreadableError as error:
        listing.problems.append(error.problem)
        return listing
    listing.notices.extend(opened.notices)
    tables = {sheet.name: find_tables(sheet, vocabulary.knows, answers.header_row) for sheet in opened.sheets}
    sheet = _chosen_sheet(listing, opened.sheets, tables, vocabulary)
    table = None if sheet is None else _chosen_table(listing, sheet, tables[sheet.name])
    if sheet is None or table is None:
        return listing
    listing.notices.extend(sheet.notices)
    listing.notices.extend(table.left_out)
    listing.header_line, listing.headings = table.line, table.headings
    if table.fault:
        listing.problem(table.line, f"expected a header row, found {table.fault}")
        return listing
    if not table.records:
        listing.problem(table.line, "expected rows below the header row, found none")
    _recognise(listing, table, vocabulary)
    listing.records = _without_hidden(listing, sheet, table.records)
    _fill_down(listing)
    _find_mark(listing)
    _ask_units(listing)
    listing.notices.extend(sums_that_differ(listing.header_texts, table.records, table.sums, listing.decimal_mark))
    return listing


def _chosen_sheet(
    listing: Listing, sheets: Sequence[Sheet], tables: Mapping[str, Sequence[Table]], vocabulary: Vocabulary
) -> Sheet | None:
    wanted = listing.answers.sheet
    names = tuple(sheet.name for sheet in sheets)
    if wanted:
        found = next((sheet for sheet in sheets if sheet.name == wanted), None)
        if found is None:
            listing.problem(None, f"expected a sheet named {shown(wanted)}, found {', '.join(map(shown, names))}")
        return found
    if not sheets:
        listing.problem(1, "expected a list with a header row, found only empty cells")
        return None
    with_list = [sheet for sheet in sheets if _has_header(tables[sheet.name], vocabulary)]
    if len(with_list) > 1:
        found_names = tuple(sheet.name for sheet in with_list)
        sentence = f"several sheets hold a list: {', '.join(found_names)}; which one is meant?"
        listing.questions.append(Question("sheet", sentence, choices=found_names))
        listing.problem(None, f"expected one sheet with a list, found {', '.join(map(shown, found_names))}")
        return None
    chosen = with_list[0] if with_list else sheets[0]
    if len(sheets) > 1:
        listing.notices.append(f"sheet taken: {chosen.name} (of {', '.join(names)})")
    return chosen


def _has_header(tables: Iterable[Table], vocabulary: Vocabulary) -> bool:
    return any(sum(vocabulary.knows(text) for text in table.header if text) > 1 for table in tables)


def _chosen_table(listing: Listing, sheet: Sheet, tables: Sequence[Table]) -> Table | None:
    told = listing.answers.header_row
    if not tables:
        what = "only empty cells" if told is None else f"nothing in line {told}"
        listing.problem(told or 1, f"expected a list with a header row, found {what}")
        return None
    if len(tables) == 1:
        if tables[0].line != sheet.records[0].line:
            above = sum(record.line < tables[0].line for record in sheet.records)
            listing.notices.append(f"headers taken from line {tables[0].line}; {above} rows above it are left out")
        return tables[0]
    lines = tuple(str(table.line) for table in tables)
    sizes = ", ".join(f"line {table.line} with {len(table.records)} rows" for table in tables)
    listing.questions.append(
        Question("header_row", f"several tables follow each other ({sizes}); which one is meant?", choices=lines)
    )
    listing.problem(tables[1].line, f"expected one table, found several: {sizes}")
    return None


def _recognise(listing: Listing, table: Table, vocabulary: Vocabulary) -> None:
    """Recognise the headers; None in place of one that is not taken."""
    listing.header_texts = tuple(text.strip() for text in table.header)
    unused = dict(listing.answers.columns)
    spelling: dict[str, str] = {}
    told_of = [_told(unused, text, number) for number, text in enumerate(listing.header_texts, start=1)]
    untold = ["" if told else text for text, told in zip(listing.header_texts, told_of, strict=True)]
    grouped = vocabulary.grouped(untold)
    for number, (text, told) in enumerate(zip(listing.header_texts, told_of, strict=True), start=1):
        header = grouped.get(number - 1)
        if header is None and told != IGNORE and (text or told):
            header = _header(listing, vocabulary, text, told, number)
        if header is not None and header.entry and header.info is not None and header.info.refers_to:
            first = spelling.setdefault(header.entry.casefold(), header.entry)
            if first != header.entry:
                error = FieldError(shown(header.entry), f"one spelling of the {header.info.refers_to} {first}")
                _column_problem(listing, number, error)
                header = None
        if header is not None and (header.is_word or told):
            listing.notices.append(f"column {shown(text)} taken for {header.name}")
        listing.headers.append(header)
    if listing.header_texts and any(told and not text for text, told in _all_told(listing)):
        # A column that only its number names has that number as its header.
        listing.header_texts = tuple(text or f"#{number}" for number, text in enumerate(listing.header_texts, start=1))
    for name in unused:
        listing.problem(table.line, f"expected a column {shown(name)}, of which something was said, found none")


def _all_told(listing: Listing) -> Iterator[tuple[str, bool]]:
    for number, text in enumerate(listing.header_texts, start=1):
        yield text, f"#{number}" in listing.answers.columns


def _told(unused: dict[str, str], text: str, number: int) -> str:
    """Take what was said of a column out of the answers; the number of a column goes before its header."""
    wanted = word_of(text)
    keys = [key for key in unused if key == f"#{number}"]
    keys += [key for key in unused if text and not key.startswith("#") and word_of(key) == wanted]
    told = [unused.pop(key) for key in keys[:1]]
    return told[0] if told else ""


def _header(listing: Listing, vocabulary: Vocabulary, text: str, told: str, number: int) -> Header | None:
    try:
        header = vocabulary.told(told) if told else vocabulary.read(text)
        return header._replace(text=text or f"#{number}")
    except AmbiguousHeaderError as error:
        sentence = f"the column {shown(text)} can be several things: {', '.join(error.choices)}; which one?"
        listing.questions.append(Question("columns", sentence, text, (*error.choices, IGNORE)))
        _column_problem(listing, number, error)
    except FieldError as error:
        if listing.answers.others and not told:
            listing.notices.append(f"column {shown(text)} is not known and ignored")
            return None
        sentence = f"the column {shown(text)} is not known; what is it?"
        listing.questions.append(Question("columns", sentence, text, (*vocabulary.near(text), IGNORE)))
        _column_problem(listing, number, error)
    return None


def _column_problem(listing: Listing, number: int, error: FieldError) -> None:
    listing.problem(listing.header_line, f"{error}; the column is not taken", f"column {number}", error)


def _without_hidden(listing: Listing, sheet: Sheet, records: tuple[Record, ...]) -> tuple[Record, ...]:
    """Leave out what a workbook hides, or ask."""
    lines = [record.line for record in records if record.line in sheet.hidden_lines]
    places = [place for place, text in enumerate(listing.header_texts) if text and place in sheet.hidden_columns]
    if not lines and not places:
        return records
    what = [f"{len(lines)} hidden rows ({_lines_text(lines)})"] if lines else []
    what += [f"hidden columns ({', '.join(listing.header_texts[place] for place in places)})"] if places else []
    words = " and ".join(what)
    if listing.answers.hidden == "take":
        listing.notices.append(f"taken: {words}")
        return records
    if listing.answers.hidden is None:
        listing.questions.append(
            Question("hidden", f"the sheet has {words}; take or leave them?", choices=TAKEN_ANSWERS)
        )
        line = lines[0] if lines else listing.header_line
        listing.problem(line, f"expected a list without hidden parts, found {words}")
    listing.notices.append(f"left out: {words}")
    for place in places:
        listing.headers[place] = None
    return tuple(record for record in records if record.line not in sheet.hidden_lines)


def _lines_text(lines: Sequence[int]) -> str:
    more = f" and {len(lines) - _LISTED_LINES} more" if len(lines) > _LISTED_LINES else ""
    return f"{', '.join(map(str, lines[:_LISTED_LINES]))}{more}"


def _fill_down(listing: Listing) -> None:
    """Repeat the cell above in the empty cells of the columns of which that was said."""
    wanted = {word_of(name) for name in listing.answers.fill_down}
    for place, header in enumerate(listing.headers):
        if header is None or not wanted & {word_of(header.text), word_of(header.key)}:
            continue
        last, filled = "", []
        records = list(listing.records)
        for number, record in enumerate(records):
            cells = (*record.cells, *[""] * (place + 1 - len(record.cells)))
            if cells[place].strip():
                last = cells[place]
            elif last and not record.fault:
                filled.append(record.line)
                records[number] = record._replace(cells=(*cells[:place], last, *cells[place + 1 :]))
        listing.records = tuple(records)
        if filled:
            listing.notices.append(f"column {shown(header.text)} filled down in lines {_lines_text(filled)}")


def offer_fill_down(listing: Listing, keys: Sequence[str]) -> None:
    """Ask whether empty cells below filled ones repeat them, as in a sheet whose cells were merged."""
    for place, header in enumerate(listing.headers):
        if header is None or header.key not in keys or header.key in listing.answers.fill_down:
            continue
        seen, empty = False, []
        for record in listing.records:
            cell = record.cells[place].strip() if place < len(record.cells) else ""
            seen = seen or bool(cell)
            if seen and not cell and not record.fault:
                empty.append(record.line)
        if empty:
            sentence = (
                f"the column {shown(header.text)} is empty below filled cells in lines {_lines_text(empty)}; "
                "do they repeat what stands above?"
            )
            listing.questions.append(Question("fill_down", sentence, header.key, (header.key,), needed=False))


def _find_mark(listing: Listing) -> None:
    number_shapes = {"quantity", "quantities", "parameter", "count", "decimal", "breaks"}
    cells = listing.columns(lambda header: header.info is not None and header.info.shape in number_shapes)
    listing.found_mark = find_decimal_mark(cells)
    listing.decimal_mark = listing.answers.decimal_sign
    if listing.decimal_mark is None and listing.found_mark.commas:
        listing.decimal_mark = listing.found_mark.mark
        listing.notices.append(listing.found_mark.notice)


def _ask_units(listing: Listing) -> None:
    """Ask for the unit of a column of bare numbers whose header has none."""
    for place, header in enumerate(listing.headers):
        if header is None or header.unit or header.info is None or not header.info.dimension:
            continue
        bare = [
            record.line for record in listing.records if place < len(record.cells) and _is_bare(record.cells[place])
        ]
        if bare:
            kind = dimension_named(header.info.dimension)
            named = ".".join(part for part in (header.key, header.entry) if part)
            units = dict.fromkeys((kind.home_unit, *(unit for unit, _ in kind.units)))
            choices = tuple(f"{named} [{unit}]" for unit in units)
            sentence = (
                f"the column {shown(header.text)} has numbers without a unit (lines {_lines_text(bare)}); which unit?"
            )
            listing.questions.append(Question("columns", sentence, header.text, choices))


def _is_bare(cell: str) -> bool:
    stripped = cell.strip()
    return bool(stripped) and stripped[-1].isdigit() and stripped[0] in "0123456789+-.,"


def check_columns(listing: Listing, required: Sequence[str], unread: Collection[str] = ()) -> bool:
    """Tell whether the columns give records at all, and each value once; what is wrong is reported.

    Args:
        listing: The table.
        required: Keys of fields without which there are no records.
        unread: Keys of fields that nothing is taken from, which may stand twice.
    """
    before = len(listing.problems)
    columns: dict[tuple[str, str, str], tuple[str, int]] = {}
    for number, header in enumerate(listing.headers, start=1):
        if header is None or header.key in unread:
            continue
        key = (header.key, header.entry, header.group)
        first = columns.setdefault(key, (header.text, number))
        if first[1] != number:
            named = ".".join(filter(None, key[:2]))
            both = f"{shown(first[0])} and {shown(header.text)}"
            listing.problem(listing.header_line, f"expected one column for {named}, found {both}")
            where = f"column {first[1]} ({first[0]}) and column {number} ({header.text})"
            sentence = f"{named} stands twice, in {where}; which one is it? The other one is ignored"
            choices = (f"#{first[1]}={IGNORE}", f"#{number}={IGNORE}")
            listing.questions.append(Question("columns", sentence, header.text, choices))
    for wanted in required:
        if (wanted, "", "") not in columns:
            written = ", ".join(map(shown, listing.header_texts[:_SHOWN_CELLS]))
            listing.problem(listing.header_line, f"expected a column with the header {wanted}, found {written}")
    return len(listing.problems) == before
