"""The catalog as the screens show and keep it: plain data and callables, no screen library.

It is nobody's proposal: nothing here changes a figure, and what is changed here has a history of its own.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, Protocol

from bomtui.tui.field_view import FieldChoice
from bomtui.tui.marks import Mark
from bomtui.tui.report import Refused, ReportColumn

if TYPE_CHECKING:
    from bomtui.model.part import Part
    from bomtui.services.catalog import Wish
    from bomtui.services.part_draft import PartDraft, PartField


@dataclass(frozen=True, slots=True)
class CatalogLine:
    """One part of a list.

    Attributes:
        key: Its key.
        cells: Texts by column, the first being the key.
        mark: How its life cycle is to be taken.
        word: Its life cycle in words.
        sentence: What the status line says of it.
    """

    key: str
    cells: tuple[str, ...]
    mark: Mark
    word: str
    sentence: str


@dataclass(frozen=True, slots=True)
class CatalogPage:
    """Some parts of an answer.

    Attributes:
        columns: The columns.
        lines: The parts.
        after: Where the parts that follow begin; None where there are none.
        remark: What is to be known of the catalog, in one sentence; empty for nothing.
    """

    columns: tuple[ReportColumn, ...]
    lines: tuple[CatalogLine, ...]
    after: object | None
    remark: str = ""


@dataclass(frozen=True, slots=True)
class PastStep:
    """What one step of the catalog's history changed in a part.

    Attributes:
        title: When, and what the step did.
        changes: What it changed, one line each.
    """

    title: str
    changes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OtherPart:
    """A part that another one names.

    Attributes:
        key: Its key.
        note: What it is, or that the catalog does not have it.
    """

    key: str
    note: str


@dataclass(frozen=True, slots=True)
class UsedIn:
    """A proposal that was opened lately, beside a part.

    Attributes:
        title: Its title and its file.
        lines: Where the part stands in it and whether its copy is another; why it cannot be read.
        mark: How that is to be taken.
        word: That in words.
    """

    title: str
    lines: tuple[str, ...]
    mark: Mark
    word: str


@dataclass(frozen=True, slots=True)
class PartView:
    """Everything known of a part.

    Attributes:
        key: Its key.
        kind: Its kind.
        origin: Where the row comes from: shipped, imported or edited; empty for a part that is not there yet.
        fields: Every field in the order of their groups, those that say nothing too.
        rungs: The rungs of its price, one line each.
        alternates: Parts that can replace it, those that can replace these, and so on.
        history: What was changed in it, the newest first.
        seen: The part as the catalog held it; None for one that is not there yet.
    """

    key: str
    kind: str
    origin: str
    fields: "tuple[PartField, ...]"
    rungs: tuple[str, ...]
    alternates: tuple[OtherPart, ...]
    history: tuple[PastStep, ...]
    seen: "Part | None"


@dataclass(frozen=True, slots=True)
class ComparedField:
    """One field of several parts.

    Attributes:
        key: Its name.
        texts: What each part says; empty where it says nothing.
        differs: Whether they say different things.
        help: What the field means.
    """

    key: str
    texts: tuple[str, ...]
    differs: bool
    help: str


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Several parts, field by field.

    Attributes:
        keys: Their keys.
        fields: The fields of which one of them says something, those that differ first.
    """

    keys: tuple[str, ...]
    fields: tuple[ComparedField, ...]


@dataclass(frozen=True, slots=True)
class HistoryStep:
    """One step of the catalog's history.

    Attributes:
        id: Its number.
        made_at: When.
        label: What it did.
        parts: How many parts it changed.
        undone: Whether it was taken back.
    """

    id: int
    made_at: str
    label: str
    parts: int
    undone: bool


@dataclass(frozen=True, slots=True)
class DoubleLine:
    """A part that may be the same as another one.

    Attributes:
        number: Their part number without what is written in several ways.
        key: Its key.
        mpn: Its part number as written.
        maker: The makers of all of them.
    """

    number: str
    key: str
    mpn: str
    maker: str


@dataclass(frozen=True, slots=True)
class CatalogOutcome:
    """What became of a change of the catalog.

    Attributes:
        state: Whether it was written.
        message: One sentence: what was written, or why nothing was.
    """

    state: Literal["done", "refused"]
    message: str


class CatalogSource(Protocol):
    """The catalog. Every method may be called from any thread, and all but the properties may take a while."""

    wish: "Wish | None"
    """What was looked for last; None before anything was."""

    @property
    def name(self) -> str:
        """What may be shown of where it is."""

    def page(self, wish: "Wish", after: object | None = None) -> CatalogPage | Refused:
        """One page of the parts that are looked for, from the beginning or from where a page ended."""

    def problem(self, wish: "Wish") -> str:
        """Why a wish cannot be read, in one sentence; empty where it can."""

    def orders(self, kind: str | None) -> tuple[FieldChoice, ...]:
        """What a list of a kind may be ordered by, what people ask of it first."""

    def part(self, key: str) -> PartView | Refused:
        """Everything known of a part."""

    def uses(self, key: str) -> tuple[UsedIn, ...] | Refused:
        """The proposals that were opened lately, as their files are, and where a part stands in them."""

    def new_part(self, key: str, kind: str) -> PartView | Refused:
        """A part that is not there yet; refused where its key cannot be taken."""

    def draft(self, view: PartView, texts: Mapping[str, str]) -> "PartDraft | Refused":
        """What a part would be with other texts in some fields; nothing is written."""

    def write(self, draft: "PartDraft") -> CatalogOutcome:
        """Write a change as one step; refused where somebody else has changed the part since it was looked at."""

    def remove(self, view: PartView) -> CatalogOutcome:
        """Take a part out as one step."""

    def side_by_side(self, keys: tuple[str, ...]) -> SideBySide | Refused:
        """Several parts, field by field."""

    def history(self) -> tuple[HistoryStep, ...] | Refused:
        """The last steps in which people changed parts, the newest first."""

    def undo(self, step_id: int) -> CatalogOutcome:
        """Take the last step back, if it is still that one."""

    def doubles(self) -> tuple[DoubleLine, ...] | Refused:
        """Parts whose numbers differ only in how they are written."""
