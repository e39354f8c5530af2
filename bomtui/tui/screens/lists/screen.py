"""All that belongs to the vehicle: its lists, what the customer asks, what is assumed, and the settings."""

from collections.abc import Awaitable, Callable
from typing import ClassVar

from textual.binding import BindingType

from bomtui.edit.edits.assumption import AddAssumption
from bomtui.edit.edits.decomposition import AddDecomposition
from bomtui.edit.edits.exchange import AddExchange
from bomtui.edit.edits.vehicle import AddPair
from bomtui.model.vehicle import Decomposition, Pair
from bomtui.tui.field_view import FieldLine
from bomtui.tui.from_services.shape import new_id_problem
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.outcomes import Outcome
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.fields.editing import FieldEditing
from bomtui.tui.screens.lists.records import (
    ASSUMPTIONS,
    DECOMPOSITIONS,
    EXCHANGE,
    HABITS,
    NAMES,
    PAIRS,
    VOLUMES,
    RecordEdits,
    edits_of,
    list_at,
    removal,
)
from bomtui.tui.source import ProposalSource
from bomtui.tui.user_commands import bindings

NOTHING_ADDED = f"Records are added to {', '.join(NAMES)}: go to one of these first."


class ListsScreen(FieldEditing):
    """The lists of the vehicle, each record with its fields.

    Args:
        source: The open proposal.
        variant: Id of the variant that is shown.
        glyphs: Signs of the screen.
    """

    SCOPES = ("lists", "keep", "find", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("lists")]

    def __init__(self, source: ProposalSource, variant: str, glyphs: Glyphs) -> None:
        super().__init__(source, variant, "", glyphs)
        self._place_to_open = ""

    def row_sentence(self) -> str:
        """What the field under the cursor says of itself, and what can be done with a record or list."""
        line = self.line
        if line is None or line.kind not in {"record", "table"}:
            return super().row_sentence()
        edits = edits_of(list_at(line.place))
        if line.kind == "record" and edits is not None:
            return f"{edits.word} {line.title}: right opens it, r renames it, delete removes it, a adds another one."
        if line.place == EXCHANGE:
            return (
                "What other currencies are worth: a adds one; right opens one, for its worth and the day of the rate."
            )
        if line.place.startswith(f"{EXCHANGE}."):
            return f"1 {line.title} in the currency of the proposal: right opens it, delete removes it."
        if line.place.startswith(f"{HABITS}."):
            return (
                "What a load of this drive code takes: the trade's habit until a field is set; delete goes back to it."
            )
        if edits is not None:
            count = len(line.children)
            return (
                f"{count} in this list: right opens it, a adds one." if count else "Nothing in this list: a adds one."
            )
        return "Right opens it."

    @property
    def _list(self) -> tuple[str, RecordEdits | None]:
        """The list that the cursor is in, and how its records are changed; None for no such list."""
        line = self.line
        table = "" if line is None else list_at(line.place)
        return table, edits_of(table)

    async def action_add(self) -> None:
        """Ask for an id, and for what a record cannot be without, and add it to the list under the cursor."""
        table, edits = self._list
        if self._is_in(EXCHANGE):
            await self.ask_until_taken(
                "Currency (three letters of ISO 4217):",
                "",
                lambda code: self._opened(self.source.do(AddExchange(currency=code.strip().upper()))),
            )
        elif self._is_in(VOLUMES):
            await self.ask_until_taken(
                "Calendar year and vehicles built in it, such as 2028 600:", "", self._year_added
            )
        elif edits is None:
            self.say(NOTHING_ADDED)
        elif edits.add is not None:
            add = edits.add
            await self.ask_until_taken(
                f"Id of the new {edits.word}:", "", lambda key: self._opened(self.source.do(add(key.strip())))
            )
        elif table == PAIRS:
            self._ask_id(table, edits.word, self._ask_primary)
        elif table == DECOMPOSITIONS:
            self._ask_id(table, edits.word, self._ask_redundant)
        elif table == ASSUMPTIONS:
            self._ask_id(table, edits.word, self._ask_assumption)

    def _is_in(self, table: str) -> bool:
        """Whether the cursor is on a table inside a record, or in it."""
        line = self.line
        return line is not None and (line.place == table or line.place.startswith(f"{table}."))

    def _year_added(self, text: str) -> Outcome:
        year, _, vehicles = text.strip().partition(" ")
        return self.source.set_text(f"{VOLUMES}.{year}", vehicles.strip())

    def _ask_id(self, table: str, word: str, answered: Callable[[str], Awaitable[None]], value: str = "") -> None:
        """Ask for the id of a new record before anything else of it; one that cannot be given stays to be mended."""

        async def typed(text: str) -> None:
            problem = new_id_problem(getattr(self.source.snapshot.proposal, table), text.strip(), word)
            if problem:
                self.say(problem)
                self._ask_id(table, word, answered, text)
            else:
                await answered(text.strip())

        self.ask(f"Id of the new {word}:", value, typed)

    def _opened(self, outcome: Outcome) -> Outcome:
        """The outcome; what it is about is opened as soon as it is shown, before the next key is looked at."""
        if outcome.state == "done":
            self._place_to_open = outcome.place
        return outcome

    def show_step(self, outcome: Outcome) -> None:
        """Show the lists as they are now, with a new record open."""
        super().show_step(outcome)
        if self._place_to_open:
            self.sheet.open_rows([self._place_to_open])
            self._place_to_open = ""

    async def _ask_assumption(self, key: str) -> None:
        await self.ask_until_taken(
            "What is assumed:",
            "",
            lambda text: self._opened(self.source.do(AddAssumption(assumption_id=key, text=text))),
        )

    async def _ask_primary(self, key: str) -> None:
        async def chosen(primary: str | None) -> None:
            if primary is not None:
                await self._ask_stand_in(key, primary)

        await self.choose("Load that may fail:", self._loads(""), chosen)

    async def _ask_stand_in(self, key: str, primary: str) -> None:
        async def chosen(stand_in: str | None) -> None:
            if stand_in is None:
                return
            edit = AddPair(pair_id=key, pair=Pair(primary=primary, stand_in=stand_in))
            await self.settle(self._opened(self.source.do(edit)))

        await self.choose(f"Load that takes over from {primary}:", self._loads(primary), chosen)

    async def _ask_redundant(self, key: str) -> None:
        async def chosen(one: str | None) -> None:
            if one is not None:
                await self._ask_other(key, one)

        await self.choose("Load of the requirement:", self._loads(""), chosen)

    async def _ask_other(self, key: str, one: str) -> None:
        async def chosen(other: str | None) -> None:
            if other is not None:
                edit = AddDecomposition(decomposition_id=key, decomposition=Decomposition(one=one, other=other))
                await self.settle(self._opened(self.source.do(edit)))

        await self.choose(f"Load that is redundant to {one}:", self._loads(one), chosen)

    def _loads(self, but: str) -> list[Choice]:
        loads = self.source.snapshot.proposal.loads
        return [Choice(key, key, load.name) for key, load in loads.items() if key != but]

    @property
    def _record(self) -> FieldLine | None:
        """The record that the cursor is on or in; None where it is in none."""
        line = self.line
        while line is not None and line.kind != "record":
            line = self._lines.get(line.place.rpartition(".")[0])
        return line

    async def action_rename(self) -> None:
        """Ask for another id of the record under the cursor; what names it follows."""
        record, (_, edits) = self._record, self._list
        if record is None or edits is None:
            self.say(f"Only a record of {', '.join(NAMES)} has an id of its own: go to one first.")
            return
        old, rename, was_inside = record.title, edits.rename, self.line is not record

        def attempt(new: str) -> Outcome:
            outcome = self.source.do(rename(old, new.strip()))
            return self._opened(outcome) if was_inside else outcome

        await self.ask_until_taken(f"New id of {edits.word} {old}:", old, attempt)

    async def clear(self, line: FieldLine) -> None:
        """Clear a field, or remove a record."""
        edit = removal(line.place) if line.kind == "record" else None
        if edit is None:
            await super().clear(line)
        else:
            await self.do(edit)
