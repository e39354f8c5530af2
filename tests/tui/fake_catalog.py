"""An invented catalog for the screens, without any database behind it."""

import threading
from collections.abc import Mapping
from dataclasses import dataclass, field

from bomtui.model.part import Part
from bomtui.services.catalog import Wish
from bomtui.services.errors import BomtuiError
from bomtui.services.part_draft import PartDraft, draft_of, fields_of_part
from bomtui.tui.catalog import (
    CatalogLine,
    CatalogOutcome,
    CatalogPage,
    ComparedField,
    DoubleLine,
    HistoryStep,
    OtherPart,
    PartView,
    PastStep,
    SideBySide,
    UsedIn,
)
from bomtui.tui.field_view import FieldChoice
from bomtui.tui.report import Refused, ReportColumn

ROWS = 100
COLUMNS = (ReportColumn("Part"), ReportColumn("Price", "EUR at 1", "right"), ReportColumn("Description"))
PART = Part(kind="high_side", mpn="HX-1", maker="Somebody", life_cycle="active", description="invented switch")


@dataclass
class FakeCatalog:
    """A catalog of so many parts, all alike.

    Attributes:
        count: Parts that every search finds, unless its text is in `counts`.
        counts: Parts that a search for a text finds.
        gates: Searches for these texts wait for their gate.
        asked: Texts that were searched for, in order.
        pages: Where pages began.
        fault: Why nothing can be read; empty for nothing.
        word: Stands before every text.
        written: What was written, in order.
        outcome: What becomes of every write; None where it is written.
        steps: Its history.
        wish: What was looked for last.
        name: Where it is.
    """

    count: int = 3
    counts: dict[str, int] = field(default_factory=dict)
    gates: dict[str, threading.Event] = field(default_factory=dict)
    asked: list[str] = field(default_factory=list)
    pages: list[int] = field(default_factory=list)
    fault: str = ""
    word: str = ""
    written: list[str] = field(default_factory=list)
    outcome: CatalogOutcome | None = None
    steps: tuple[HistoryStep, ...] = (HistoryStep(7, "2026-11-20", "edit hx-1", 1, undone=False),)
    wish: Wish | None = None
    name: str = "catalog.sqlite"

    def page(self, wish: Wish, after: object | None = None) -> CatalogPage | Refused:
        """Some of the parts."""
        self.asked.append(wish.text)
        if wish.text in self.gates:
            assert self.gates[wish.text].wait(5), "nobody opened the gate"
        if self.fault:
            return Refused(self.fault)
        first = after if isinstance(after, int) else 0
        self.pages.append(first)
        end = min(first + ROWS, self.counts.get(wish.text, self.count))
        lines = tuple(self._line(number, wish) for number in range(first, end))
        return CatalogPage(COLUMNS, lines, end if end < self.counts.get(wish.text, self.count) else None)

    def _line(self, number: int, wish: Wish) -> CatalogLine:
        key = f"hx-{number + 1}"
        shown = f"{self.word}{wish.text} {wish.sort}".strip()
        return CatalogLine(key, (key, "1.2000", shown), "ok", f"{self.word}active", f"{self.word}{key} in full")

    def problem(self, wish: Wish) -> str:
        """A filter without a sign cannot be read."""
        wrong = [text for text in wish.where if "=" not in text]
        return f"{self.word}Expected a filter, found {wrong[0]}." if wrong else ""

    def orders(self, kind: str | None) -> tuple[FieldChoice, ...]:
        """Price and number."""
        return (FieldChoice("price", "price", self.word), FieldChoice("mpn", "mpn", kind or "every kind"))

    def part(self, key: str) -> PartView | Refused:
        """The one part."""
        if self.fault:
            return Refused(self.fault)
        past = PastStep(f"{self.word}2026-11-20: edit {key}", (f"{self.word}package: unknown -> SO8",))
        others = (OtherPart("hx-2", f"{self.word}another one"),)
        part = Part(kind=PART.kind, mpn=f"{self.word}HX-1", life_cycle="active", alternates=("hx-2",))
        return PartView(key, part.kind, "imported", fields_of_part(part), (), others, (past,), part)

    def uses(self, key: str) -> tuple[UsedIn, ...] | Refused:
        """One proposal that uses it."""
        if self.fault:
            return Refused(self.fault)
        return (UsedIn(f"{self.word}Invented van", (f"{self.word}zone: ZREA.U1, not {key}",), "ok", "the same"),)

    def new_part(self, key: str, kind: str) -> PartView | Refused:
        """One that is not there; `hx-1` is."""
        if key == "hx-1":
            return Refused("The catalog has a part 'hx-1' already.")
        return PartView(key, kind, "", fields_of_part(Part(kind=kind)), (), (), (), None)

    def draft(self, view: PartView, texts: Mapping[str, str]) -> PartDraft | Refused:
        """What it would be."""
        try:
            return draft_of(view.key, view.seen, texts, view.kind)
        except BomtuiError as error:
            return Refused(f"{self.word}{error}")

    def write(self, draft: PartDraft) -> CatalogOutcome:
        """Note it."""
        if self.outcome is not None:
            return self.outcome
        self.written.append(" ".join((draft.key, *(f"{own.field}={own.now}" for own in draft.changes))))
        return CatalogOutcome("done", f"Written: {draft.key}.")

    def remove(self, view: PartView) -> CatalogOutcome:
        """Note it."""
        self.written.append(f"out {view.key}")
        return CatalogOutcome("done", f"Taken out: {view.key}.")

    def side_by_side(self, keys: tuple[str, ...]) -> SideBySide | Refused:
        """Two fields of parts."""
        texts = tuple(f"{self.word}{number} mohm" for number in range(len(keys)))
        same = tuple("85 degC" for _ in keys)
        return SideBySide(
            keys,
            (
                ComparedField("rds_on.max", texts, differs=True, help=f"{self.word}on-resistance"),
                ComparedField("junction_max", same, differs=False, help="highest junction temperature"),
            ),
        )

    def history(self) -> tuple[HistoryStep, ...] | Refused:
        """The steps."""
        return Refused(self.fault) if self.fault else self.steps

    def undo(self, step_id: int) -> CatalogOutcome:
        """Note it."""
        self.written.append(f"undo {step_id}")
        return CatalogOutcome("done", f"Taken back in the catalog: step {step_id}.")

    def doubles(self) -> tuple[DoubleLine, ...] | Refused:
        """One pair."""
        return (
            DoubleLine("HX1", "hx-1", f"{self.word}HX-1", "Somebody"),
            DoubleLine("HX1", "hx-x", "hx 1", f"{self.word}Somebody"),
        )
