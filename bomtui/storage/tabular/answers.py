"""What a sheet leaves open: questions for the person, and the answers, which can be kept and used again."""

from typing import Annotated, NamedTuple

import msgspec

from bomtui.model.base import Base
from bomtui.model.fields import Field
from bomtui.storage.tabular.decoding import ENCODINGS
from bomtui.storage.tabular.delimited import SEPARATORS

IGNORE = "ignore"
"""Answer for a column that is not wanted."""

MARKS = {"point": ".", "comma": ","}
PIECE_ANSWERS = ("each", "all")
DUPLICATE_ANSWERS = ("keep", "replace", "sum")
ID_ANSWERS = ("number",)
TAKEN_ANSWERS = ("take", "leave")


class Answers(Base, frozen=True):
    """What a person has said of a sheet beforehand; what is not said is found in the sheet, or asked."""

    encoding: Annotated[str | None, Field("encoding of a text", choices=ENCODINGS)] = None
    separator: Annotated[str | None, Field("separator of the cells", choices=tuple(SEPARATORS.values()))] = None
    sheet: Annotated[str, Field("sheet of a workbook, by its name")] = ""
    header_row: Annotated[int | None, Field("line or row that holds the headers")] = None
    decimal_mark: Annotated[str | None, Field("decimal mark of its numbers", choices=tuple(MARKS))] = None
    columns: Annotated[
        dict[str, str],
        Field("what a column is, by its header or as #NUMBER: a header that the program knows, or ignore"),
    ] = msgspec.field(default_factory=dict)
    others: Annotated[str | None, Field("columns that are not known", choices=(IGNORE,))] = None
    fill_down: Annotated[tuple[str, ...], Field("columns in which an empty cell repeats the one above it")] = ()
    headings: Annotated[str, Field("field that a row of one cell gives to the rows below it, or ignore")] = ""
    hidden: Annotated[str | None, Field("hidden rows and columns", choices=TAKEN_ANSWERS)] = None
    ids: Annotated[str | None, Field("where a list has no ids: number its rows", choices=ID_ANSWERS)] = None
    id_prefix: Annotated[str, Field("letters before the numbers of such ids")] = "L"
    pieces: Annotated[
        str | None,
        Field("whether the numbers of a row of several pieces are of each or of all of them", choices=PIECE_ANSWERS),
    ] = None
    duplicates: Annotated[str | None, Field("which of two rows of one id is taken", choices=DUPLICATE_ANSWERS)] = None
    existing: Annotated[str | None, Field("what happens to what is there already", choices=DUPLICATE_ANSWERS[:2])] = (
        None
    )
    subsystem: Annotated[str, Field("subsystem of rows of a list that has no column for it")] = ""
    kind: Annotated[str, Field("kind of the parts of a list that has no column for it")] = ""
    currency: Annotated[str, Field("currency of prices that do not say theirs")] = ""
    supplier: Annotated[
        str, Field("whose prices stand where several suppliers offer a part; several names in their order, with commas")
    ] = ""

    @property
    def separator_sign(self) -> str | None:
        """The separator itself; None where it is not said."""
        return next((sign for sign, name in SEPARATORS.items() if name == self.separator), None)

    @property
    def decimal_sign(self) -> str | None:
        """The decimal mark itself; None where it is not said."""
        return MARKS.get(self.decimal_mark or "")


class Question(NamedTuple):
    """Something that a sheet leaves open.

    Attributes:
        about: Key of the answer (a field of `Answers`).
        sentence: One sentence: what is open, and what was found.
        subject: Of a column its header; empty for anything else.
        choices: Lawful answers, or examples where any header will do.
        needed: Whether nothing can be taken without the answer.
    """

    about: str
    sentence: str
    subject: str = ""
    choices: tuple[str, ...] = ()
    needed: bool = True


EMPTY = Answers()
