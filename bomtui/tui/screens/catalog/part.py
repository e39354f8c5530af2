"""A part of the catalog: everything known of it, and changing it; what a write changes is told before it happens."""

import asyncio
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import on, work
from textual.binding import BindingType
from textual.message import Message

from bomtui.services.catalog_upkeep import RETIRED
from bomtui.services.part_draft import PartDraft, PartField
from bomtui.services.part_words import kind_words
from bomtui.tui.catalog import CatalogOutcome, CatalogSource, PartView, UsedIn
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.report import Refused
from bomtui.tui.screens.catalog.frame import CatalogFrame
from bomtui.tui.screens.catalog.rows import (
    NOT_GIVEN,
    OTHER,
    PART_COLUMNS,
    RUNG,
    SHORT_TEXT,
    UNKNOWN,
    USES,
    first_open,
    part_rows,
)
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.text import width_of
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.rows import Row

NONE = ""
STAY, GIVE_UP, WRITE = "stay", "give up", "write"


class PartScreen(CatalogFrame[str | None]):
    """A part; ends with what was written last, or with None.

    Args:
        catalog: The catalog.
        key: Its key.
        glyphs: Signs of the screen.
        kind: Kind of a part that is not there yet; empty for one that is.
    """

    SCOPES = ("part", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("part")]
    COLUMNS = PART_COLUMNS
    STATE_TITLE = "State"

    def __init__(self, catalog: CatalogSource, key: str, glyphs: Glyphs, kind: str = "") -> None:
        super().__init__(catalog, glyphs)
        self._key = key
        self._kind = kind
        self._view: PartView | None = None
        self._texts: dict[str, str] = {}
        self._written: str | None = None
        self._uses: tuple[UsedIn, ...] | None = None

    @dataclass
    class Used(Message):
        """Where the part is used is known."""

        uses: tuple[UsedIn, ...] | Refused

    def head(self) -> str:
        """Which part it is."""
        view = self._view
        if view is None:
            return self._key
        origin = view.origin or "new, not written yet"
        return f"{view.key}   {kind_words(view.kind)}   {origin}"

    def more_head(self) -> Sequence[str]:
        """That something is not written yet."""
        if not self._texts:
            return ()
        count = len(self._texts)
        return (
            f"{count} field{'s' if count > 1 else ''} typed and not written: w writes, after telling what changes.",
        )

    def fetch(self) -> object:
        """Read the part."""
        return self.catalog.new_part(self._key, self._kind) if self._kind else self.catalog.part(self._key)

    def show_fetched(self, result: object) -> None:
        """Show the part."""
        if not isinstance(result, PartView):
            return
        is_first = self._view is None
        self._view = result
        self._show()
        if is_first:
            self.sheet.open_rows([*first_open(self.sheet.rows), *([NOT_GIVEN] if self._kind else [])])

    def _show(self) -> None:
        if self._view is not None:
            before = {row.key for row in self.sheet.rows}
            rows = part_rows(self._view, self._texts, self._uses)
            self.sheet.set_rows(rows)
            self.sheet.open_rows([key for key in first_open(rows) if key not in before])
        self.show_title()

    @property
    def _field(self) -> PartField | None:
        """The field under the cursor; None where there is none."""
        row = self.sheet.cursor_row
        fields = () if self._view is None else self._view.fields
        return next((own for own in fields if row is not None and own.key == row.key), None)

    def row_sentence(self) -> str:
        """What the field means and takes, and its value where that is too long for its column."""
        row, own = self.sheet.cursor_row, self._field
        if row is None:
            return ""
        if own is None:
            if row.key.startswith(OTHER):
                return f"{row.cells[0]}: {row.cells[1]}. Enter opens it."
            if row.key.startswith(RUNG):
                return "One rung of the price: breaks above it is typed over as a whole."
            return row.cells[0]
        takes = "" if own.is_fixed else f" Takes {own.expected}."
        now = f" Now: {row.cells[1]}" if width_of(row.cells[1]) > SHORT_TEXT else ""
        return f"{own.key}: {own.help}.{takes}{now}"

    async def take(self, row: Row) -> None:
        """Open the other part that is named, or edit the field."""
        if row.key.startswith(OTHER):
            screen = PartScreen(self.catalog, row.cells[0], self.glyphs)
            await self.app.push_screen(screen, self._came_back)
        else:
            await self.action_edit()

    def _came_back(self, said: str | None) -> None:
        if said:
            self._written = said
            self.say(said)

    async def action_edit(self) -> None:
        """Edit the field under the cursor: chosen or typed, nothing written yet."""
        own = self._field
        if own is None:
            self.say("Nothing to edit here: go to the line of a field, or a names one.")
        elif own.is_fixed:
            self.say("The kind of a part does not change: add another part instead.")
        elif own.choices:
            choices = [Choice(NONE, UNKNOWN), *(Choice(choice, choice) for choice in own.choices)]

            def chosen(choice: str | None) -> None:
                if choice is not None:
                    self._put(own.key, choice)

            now = self._texts.get(own.key, own.text)
            await self.choose(f"{own.key}: {own.help}", choices, chosen, current=now if now in own.choices else NONE)
        else:
            self._ask(own.key, self._texts.get(own.key, own.text))

    def _ask(self, key: str, text: str) -> None:
        def typed(text: str) -> None:
            if not self._put(key, text.strip()):
                self._ask(key, text)

        self.ask(f"{key}:", text, typed)

    def _put(self, key: str, text: str) -> bool:
        """Take a text for a field; False where it cannot be read, and the sentence says why."""
        view = self._view
        if view is None:
            return True
        former = next((own.text for own in view.fields if own.key == key), "")
        texts = {name: typed for name, typed in self._texts.items() if name != key}
        if text != former:
            texts[key] = text
        found = self.catalog.draft(view, texts)
        if isinstance(found, Refused):
            self.say(found.sentence)
            return False
        self._texts = texts
        self._show()
        self.sheet.reveal(key)
        self.say("Not written yet: w tells what changes, and writes." if texts else "Nothing is changed any more.")
        return True

    def action_name(self) -> None:
        """Ask for a field by its name, and its text: what stands in no line can be given so."""
        self.say("Such as supplies.main.current.typ = 5 mA, or breaks = 1000: 1.62; 10000: 1.36.")
        self._ask_named("")

    def _ask_named(self, text: str) -> None:
        def typed(text: str) -> None:
            key, sign, value = text.partition("=")
            if not text.strip():
                return
            if not sign or not key.strip():
                self.say(f"Expected FIELD = TEXT, found {text.strip()}.")
                self._ask_named(text)
            elif not self._put(key.strip(), value.strip()):
                self._ask_named(text)

        self.ask("Field = text:", text, typed)

    def action_clear(self) -> None:
        """Make the field unknown."""
        own = self._field
        if own is None or own.is_fixed:
            self.say("Nothing to clear here: go to the line of a field.")
        else:
            self._put(own.key, "")

    async def action_write(self) -> None:
        """Tell what a write changes, and write it where that is wanted."""
        view = self._view
        if view is None:
            return
        draft = self.catalog.draft(view, self._texts)
        if isinstance(draft, Refused):
            self.say(draft.sentence)
        elif view.seen is not None and not draft.changes:
            self.say("Nothing to write: the catalog holds all of it.")
        else:
            await self._confirm_write(view, draft)

    async def _confirm_write(self, view: PartView, draft: PartDraft) -> None:
        async def go_ahead() -> None:
            await self._settle(await asyncio.to_thread(self.catalog.write, draft))

        head = (
            f"{view.key} is changed:" if view.seen is not None else f"{view.key} is added, a {kind_words(view.kind)}:"
        )
        lines = [f"  {own.field}: {own.before or UNKNOWN} -> {own.now or UNKNOWN}" for own in draft.changes]
        kept = "Proposals keep the data that they were computed with until somebody refreshes them."
        await self.confirm(
            "Write this into the catalog?", (head, *lines, kept), "one step", go_ahead, "Nothing was written."
        )

    async def _settle(self, outcome: CatalogOutcome) -> None:
        """Say what became of a write, and read the part anew where it was written."""
        if outcome.state == "done":
            self._written, self._texts, self._kind = outcome.message, {}, ""
            self.fetch_anew()
        self.say(outcome.message)

    def action_uses(self) -> None:
        """Look for the part in the proposals that were opened lately."""
        if self._view is None or self._view.seen is None:
            self.say("It is not in the catalog yet: nothing can use it.")
            return
        self.say("Reading the proposals that were opened lately.")
        self._look_for_uses()

    @work(thread=True, exclusive=True, group="uses", exit_on_error=False, description="looking where the part is used")
    def _look_for_uses(self) -> None:
        self.post_message(self.Used(self.catalog.uses(self._key)))

    @on(Used)
    def _show_uses(self, message: Used) -> None:
        message.stop()
        if isinstance(message.uses, Refused):
            self.say(message.uses.sentence)
            return
        self._uses = message.uses
        self._show()
        self.sheet.reveal(USES)
        self.say("" if message.uses else "No proposal was opened lately.")

    async def action_retire(self) -> None:
        """Say of the part that it is not made any more; it stays for proposals that use it."""
        if self._put("life_cycle", RETIRED):
            await self.action_write()

    async def action_remove(self) -> None:
        """Take the part out of the catalog, after telling what that means."""
        view = self._view
        if view is None or view.seen is None:
            self.say("It is not in the catalog yet: escape leaves it.")
            return

        async def go_ahead() -> None:
            outcome = await asyncio.to_thread(self.catalog.remove, view)
            if outcome.state == "done":
                self.dismiss(outcome.message)
            else:
                self.say(outcome.message)

        sentences = (
            f"{view.key} goes out of the catalog. Proposals that use it keep their own copy.",
            "A part that came with the program and was edited becomes that part again.",
        )
        await self.confirm("Take the part out?", sentences, "one step", go_ahead, "Nothing was taken out.")

    async def action_leave(self) -> None:
        """Go back; what is typed and not written is asked about."""
        if not self._texts:
            self.dismiss(self._written)
            return

        async def chosen(choice: str | None) -> None:
            if choice == GIVE_UP:
                self.dismiss(self._written)
            elif choice == WRITE:
                await self.action_write()

        choices = (
            Choice(STAY, "stay", "goes back to the part"),
            Choice(WRITE, "write", "tells what changes first"),
            Choice(GIVE_UP, "give it up", "what was typed is forgotten"),
        )
        await self.choose("Leave what is typed and not written?", choices, chosen)
