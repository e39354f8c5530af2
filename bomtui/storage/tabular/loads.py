"""A customer's load list as sheet: every row becomes a load or a problem, and nothing is written anywhere."""

import dataclasses
import re
from collections.abc import Collection, Iterable, Iterator
from pathlib import Path
from typing import Annotated, Any

from bomtui.model.base import Base
from bomtui.model.fields import Field, FieldInfo, field_table
from bomtui.model.ids import ID_RULE, is_id
from bomtui.model.lists import ID_KEYS, REMARK
from bomtui.model.load import Load
from bomtui.model.plain_text import armed, clean
from bomtui.model.safety import LEVELS, NO_LEVEL, SCHEMES, level_in
from bomtui.storage.field_text import UNKNOWN, FieldError, nearest, read_field, shown
from bomtui.storage.problems import Problem, in_file_order
from bomtui.storage.tabular.answers import EMPTY, PIECE_ANSWERS, Answers, Question
from bomtui.storage.tabular.header import Vocabulary
from bomtui.storage.tabular.id_text import made_id
from bomtui.storage.tabular.listing import Cell, Listing, check_columns, offer_fill_down, open_listing
from bomtui.storage.tabular.load_doubts import doubts
from bomtui.storage.tabular.record import Record
from bomtui.storage.tabular.words import LOAD_WORDS

_LOAD_FIELDS = field_table(Load)
# What a spreadsheet makes of a long number: 6.9E+12.
_SPOILT_ID = re.compile(r"\d(?:\.\d+)?[Ee]\+?\d+")
_REFERRED = ("subsystem", "zone")
_PIECES = "pieces"
_MOST_PIECES = 200


class ListedLoad(Base, frozen=True):
    """What a row of a load list says beside the load itself."""

    pieces: Annotated[int | None, Field("how many equal loads the row stands for")] = None


LOAD_HEADERS = Vocabulary((*_LOAD_FIELDS, *field_table(ListedLoad)), ID_KEYS, LOAD_WORDS)
"""The headers of a load list."""


@dataclasses.dataclass(frozen=True, slots=True)
class LoadsResult:
    """What a load list holds; a dry run: nothing has been written.

    Attributes:
        loads: Loads by id, in the order of the list.
        problems: Every column and row that was not taken, with its line.
        notices: What was decided in reading: separator, encoding, decimal mark; ids that look spoilt.
        zones: Ids of the zones that the taken loads name, in the order of their first mention.
        modes: Ids of the modes that the columns name, in the order of the columns.
        subsystems: Ids of the subsystems that the taken loads name, in the order of their first mention.
        questions: What the list leaves open.
        doubts: Values that can hardly be meant, one sentence each.
        names: What the list calls the zones and subsystems whose ids were made from it, by id.
        lines: Line of each load.
        given: Fields that the list gives, by load.
        columns: Header and what it was taken for, in the order of the columns; empty where a column is not taken.
    """

    loads: dict[str, Load]
    problems: tuple[Problem, ...]
    notices: tuple[str, ...] = ()
    zones: tuple[str, ...] = ()
    modes: tuple[str, ...] = ()
    subsystems: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()
    doubts: tuple[Problem, ...] = ()
    names: dict[str, str] = dataclasses.field(default_factory=dict)
    lines: dict[str, int] = dataclasses.field(default_factory=dict)
    given: dict[str, tuple[str, ...]] = dataclasses.field(default_factory=dict)
    columns: tuple[tuple[str, str], ...] = ()


def read_loads(path: Path, answers: Answers = EMPTY, taken: Collection[str] = ()) -> LoadsResult:
    """Read a load list from a workbook or from text with separated cells.

    A row with anything in it that cannot be taken is not taken at all: half a row would give half a load. An empty cell
    is unknown; a row that begins with `#` is a remark. Nothing is raised for any content of the file.

    Args:
        path: The list.
        answers: What a person has said of it.
        taken: Ids that numbered rows must not have.
    """
    return _Loads(open_listing(path, LOAD_HEADERS, answers), taken).run()


class _Loads:
    """One pass over the rows of a list."""

    def __init__(self, listing: Listing, taken: Collection[str]) -> None:
        self._listing = listing
        self._answers = listing.answers
        self._lines: dict[str, int] = {}
        self._spelling: dict[tuple[str, str], str] = {}
        self._names: dict[str, str] = {}
        self._numbers = _numbers(listing.answers.id_prefix, taken)
        self._loads: dict[str, Load] = {}
        self._line_of: dict[str, int] = {}
        self._doubts: list[Problem] = []

    def run(self) -> LoadsResult:
        """Read the rows below the recognised headers."""
        listing = self._listing
        headers = [header for header in listing.headers if header is not None]
        given: dict[str, tuple[str, ...]] = {}
        if listing.header_texts and self._is_readable():
            offer_fill_down(listing, _REFERRED)
            for record in listing.records:
                given.update(self._row(record))
        loads = self._loads
        return LoadsResult(
            loads=loads,
            problems=in_file_order(listing.problems),
            notices=tuple(listing.notices),
            zones=_named(load.zone for load in loads.values()),
            modes=_named(
                header.entry for header in headers if header.info is not None and header.info.shape == "quantities"
            ),
            subsystems=_named(load.subsystem for load in loads.values()),
            questions=tuple(listing.questions),
            doubts=tuple(self._doubts),
            names=self._names,
            lines=self._line_of,
            given=given,
            columns=tuple(
                (text, header.name if header else "")
                for text, header in zip(listing.header_texts, listing.headers, strict=True)
            ),
        )

    def _is_readable(self) -> bool:
        """Tell whether the columns give loads at all; ask for what another column or an answer can give."""
        listing, answers = self._listing, self._answers
        required = []
        if not answers.ids:
            required.append(ID_KEYS[0])
            if not listing.has(ID_KEYS[0]):
                sentence = "the list has no column of ids; number its rows?"
                listing.questions.append(Question("ids", sentence, choices=("number",)))
        if answers.headings != "subsystem" and not answers.subsystem:
            required.append("subsystem")
            if not listing.has("subsystem"):
                self._ask_subsystem()
        return check_columns(listing, required)

    def _ask_subsystem(self) -> None:
        listing = self._listing
        if listing.headings:
            first = next(iter(listing.headings.values()))
            sentence = f"rows of one cell, such as {shown(first)}, stand between the others; are they the subsystems?"
            listing.questions.append(Question("headings", sentence, choices=("subsystem",)))
        else:
            sentence = "the list has no column of subsystems; to which subsystem do its loads belong?"
            listing.questions.append(Question("subsystem", sentence))

    def _row(self, record: Record) -> list[tuple[str, tuple[str, ...]]]:
        """Take one row, or report everything that is wrong with it; return ids and given fields."""
        if record.cells and record.cells[0].lstrip().startswith(REMARK):
            return []
        listing = self._listing
        before = len(listing.problems)
        cells = [cell._replace(text=armed(cell.text)) for cell in listing.cells(record)]
        name = next((cell.text for cell in cells if cell.header.info is None), "")
        values: dict[str, Any] = {}
        if len(listing.problems) == before:
            name = self._id(record.line, name, values)
        pieces = 1
        for cell in cells:
            try:
                if cell.header.info is None:
                    cell.check_usable()
                elif cell.header.key == _PIECES:
                    pieces = self._pieces(cell)
                else:
                    self._take(cell, cell.header.info, values)
            except FieldError as error:
                listing.problem(record.line, str(error), shown(cell.header.text), error, name)
        if len(listing.problems) > before:
            return []
        self._complete(record, name, values)
        is_second = name in self._loads and self._answers.duplicates != "replace"
        if is_second or len(listing.problems) > before:
            return []
        return self._place(record.line, name, Load(**values), pieces, tuple(values))

    def _place(
        self, line: int, name: str, load: Load, pieces: int, keys: tuple[str, ...]
    ) -> list[tuple[str, tuple[str, ...]]]:
        listing = self._listing
        fatal, doubtful = doubts(load, keys)
        for message in fatal:
            listing.problem(line, message, name=name)
        if fatal:
            return []
        ids = [name] if pieces == 1 or self._answers.pieces == PIECE_ANSWERS[1] else _split(name, pieces)
        wrong = next((load_id for load_id in ids if not is_id(load_id)), None)
        if wrong is not None:
            listing.problem(line, f"expected an id of {ID_RULE} for each piece, found {shown(wrong)}", name=name)
            return []
        self._doubts.extend(Problem(listing.file, message, line, field=name) for message in doubtful)
        for load_id in ids:
            self._loads[load_id] = load
            self._line_of[load_id] = line
        return [(load_id, keys) for load_id in ids]

    def _complete(self, record: Record, name: str, values: dict[str, Any]) -> None:
        """Add what stands outside of the row's own cells, and hold the row to what a load needs."""
        if "subsystem" not in values:
            heading = self._listing.headings.get(record.line, "") if self._answers.headings == "subsystem" else ""
            text = heading or self._answers.subsystem
            if text:
                values["subsystem"] = self._reference("subsystem", text)
        for info in _LOAD_FIELDS:
            if info.required and info.name not in values:
                message = f"expected a {info.key}, found an empty cell"
                self._listing.problem(record.line, message, f'"{info.key}"', None, name)
        self._fit_level(record.line, name, values)

    def _fit_level(self, line: int, name: str, values: dict[str, Any]) -> None:
        """Take the integrity level as its scheme writes it: `b` is B of ISO 26262 and b of ISO 13849-1."""
        level = values.get("safety")
        if level is None:
            return
        scheme = values.get("safety_scheme", SCHEMES[0])
        fitted = level_in(scheme, level)
        if fitted is None:
            lawful = ", ".join(dict.fromkeys((NO_LEVEL, *LEVELS[scheme])))
            message = f"expected a level of {scheme} ({lawful}), found {shown(level)}"
            self._listing.problem(line, message, '"safety"', None, name)
        else:
            values["safety"] = fitted

    def _id(self, line: int, name: str, values: dict[str, Any]) -> str:
        """Return the id of a row: its own one, or its number, with its own one as the customer's reference."""
        if self._answers.ids:
            if name:
                values["customer_ref"] = name
            return next(self._numbers)
        self._check_id(line, name)
        return name

    def _check_id(self, line: int, name: str) -> None:
        listing = self._listing
        column = f'"{ID_KEYS[0]}"'
        if not name:
            listing.problem(line, "expected the id of a load, found an empty cell", column)
            return
        if not is_id(name):
            hint = "; the customer's own reference can stand in the column customer_ref"
            listing.problem(line, f"expected an id of {ID_RULE}, found {shown(name)}{hint}", column)
            self._ask("ids", "some ids are not lawful; number the rows, and keep the ids as customer's references?")
            return
        first = self._lines.setdefault(name.casefold(), line)
        if first != line:
            self._repeated(line, name, first)
        if _SPOILT_ID.fullmatch(name):
            listing.notices.append(f"line {line}: the id {name} looks like a number that a spreadsheet has rewritten")

    def _repeated(self, line: int, name: str, first: int) -> None:
        chosen = self._answers.duplicates
        if chosen in {"keep", "replace"} and any(name == known for known in self._loads):
            taken = "first" if chosen == "keep" else "last"
            self._listing.notices.append(f"line {line}: {name} stands also in line {first}; the {taken} one is taken")
            return
        message = f"expected each id once, found {shown(name)} also in line {first}; only the first is taken"
        self._listing.problem(line, message, f'"{ID_KEYS[0]}"')
        self._ask("duplicates", "some ids stand on several rows; keep the first row of each, or the last?")

    def _ask(self, about: str, sentence: str) -> None:
        """Ask once."""
        choices = {"ids": ("number",), "duplicates": ("keep", "replace"), "pieces": PIECE_ANSWERS}[about]
        question = Question(about, sentence, choices=choices)
        if question not in self._listing.questions:
            self._listing.questions.append(question)

    def _pieces(self, cell: Cell) -> int:
        """Return how many loads a row stands for."""
        cell.check_usable()
        if cell.header.info is None:
            return 1
        number: int = read_field(cell.header.info, cell.text, decimal_mark=cell.decimal_mark) or 0
        if not 1 <= number <= _MOST_PIECES:
            raise FieldError(shown(cell.text), f"a number of pieces from 1 to {_MOST_PIECES}")
        if number > 1 and self._answers.pieces is None:
            self._ask(
                "pieces",
                "some rows stand for several pieces; are their numbers those of each piece, of which a load each is "
                "made, or of all together, which make one load?",
            )
            raise FieldError(shown(cell.text), "a row of one piece, or an answer to what its numbers are of")
        return number

    def _take(self, cell: Cell, info: FieldInfo, values: dict[str, Any]) -> None:
        """Read one cell into the values of its row.

        Raises:
            FieldError: The field cannot take it.
        """
        cell.check_usable()
        mark = cell.decimal_mark or self._listing.decimal_mark
        if info.shape == "quantities":
            one = dataclasses.replace(info, shape="quantity", optional=True)
            value = read_field(one, cell.text, default_unit=cell.header.unit, decimal_mark=mark)
            if value is not None:
                values.setdefault(info.name, {})[cell.header.entry] = value
            return
        text = cell.text
        if info.choices and text not in info.choices:
            # A sheet is typed by people: "hs" is taken for HS, anything further off is refused.
            near = nearest(text, info.choices)
            text = near if near.casefold() == text.casefold() else text
        value = read_field(info, text, default_unit=cell.header.unit, decimal_mark=mark)
        if info.refers_to and info.shape == "text":
            if value.casefold() == UNKNOWN and not info.required:
                return
            value = self._reference(info.refers_to, value)
        values[info.name] = value

    def _reference(self, kind: str, text: str) -> str:
        """Return the id of a zone or subsystem: the text itself, or one made from it; each in one spelling.

        Raises:
            FieldError: There is another spelling of it, or another text has the same id.
        """
        found = text if is_id(text) else made_id(text)
        if not found:
            raise FieldError(shown(text), f"the id of a {kind}: {ID_RULE}")
        first = self._spelling.setdefault((kind, found.casefold()), text)
        if first != text:
            raise FieldError(shown(text), f"one spelling of the {kind} {first}")
        if found != text and found not in self._names:
            self._names[found] = clean(text)
            self._listing.notices.append(f"{kind} {shown(text)} gets the id {found}")
        return found


def _numbers(prefix: str, taken: Collection[str]) -> Iterator[str]:
    used = {name.casefold() for name in taken}
    number = 0
    while True:
        number += 1
        if f"{prefix}{number}".casefold() not in used:
            yield f"{prefix}{number}"


def _split(name: str, pieces: int) -> list[str]:
    return [f"{name}-{number}" for number in range(1, pieces + 1)]


def _named(ids: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for name in ids if name))
