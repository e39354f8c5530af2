"""A sheet of fields and how each kind of field is edited, whatever record it belongs to."""

from collections.abc import Iterable, Sequence

from textual.widget import Widget

from bomtui.edit.edits.field import SetField
from bomtui.model.plain_text import clean
from bomtui.tui.field_view import FieldLine, FieldsView
from bomtui.tui.glyphs import Glyphs
from bomtui.tui.outcomes import Outcome
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.fields.rows import COLUMNS, by_place, field_rows, nearest, sentence
from bomtui.tui.screens.steps.searching import Searching
from bomtui.tui.screens.steps.side import SideScreen
from bomtui.tui.source import ProposalSource
from bomtui.tui.widgets.lines import Lines
from bomtui.tui.widgets.prompt_line import PromptLine
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet

GONE = "This is no longer part of the proposal: escape goes back, undo may bring it again."
AS_IT_IS = "as it is now"
FLAGS = {"true": "false", "false": "true", "": "true"}
"""What a flag is turned to."""


class FieldEditing(SideScreen[None], Searching[None]):
    """The fields of a record, records inside it with theirs.

    Args:
        source: The open proposal.
        variant: Id of the variant that is shown.
        place: The record as files name it; empty for all that belongs to the vehicle.
        glyphs: Signs of the screen.
    """

    def __init__(self, source: ProposalSource, variant: str, place: str, glyphs: Glyphs) -> None:
        super().__init__(source, variant, glyphs)
        self.place = place
        self._view: FieldsView | None = source.fields(variant, place)
        self._lines: dict[str, FieldLine] = {}

    def compose_parts(self) -> Iterable[Widget]:
        """Title, fields, status and the lines to type in."""
        yield Lines(self.title_line, id="title")
        yield Sheet(COLUMNS, self.glyphs, id="sheet", take=self._take, empty=GONE, min_name_width=24)
        yield from self.compose_foot()
        yield PromptLine(id="find")

    def on_mount(self) -> None:
        """Show the fields."""
        self._show()
        self.set_focus(self.sheet)

    def head(self) -> str:
        """Whose fields they are."""
        return GONE if self._view is None else self._view.title

    @property
    def line(self) -> FieldLine | None:
        """The line under the cursor; None where there is none."""
        row = self.sheet.cursor_row
        return self._lines.get(row.key) if row else None

    def row_sentence(self) -> str:
        """What the field under the cursor says of itself."""
        line = self.line
        if line is None or line.kind in {"record", "table"}:
            return ""
        if line.kind == "fields" and not line.shown:
            return "Holds fields: right opens it."
        return sentence(line, self.source.field_help(line.place))

    def _show(self) -> None:
        self._view = self.source.fields(self.variant, self.place)
        lines: Sequence[FieldLine] = () if self._view is None else self._view.lines
        self._lines = by_place(lines)
        self.sheet.set_rows(list(field_rows(lines)))

    def show_newest(self, address: str = "") -> None:
        """Show the fields as they are now."""
        del address
        self._show()
        self.show_heading()

    def show_step(self, outcome: Outcome) -> None:
        """Show the fields as they are now, with the cursor on what was changed where it stands here."""
        self.show_newest()
        self.go_to(outcome.place)

    def go_to(self, place: str) -> None:
        """Put the cursor on a field or record, or on what it stood in; nowhere else where nothing of it stands here."""
        found = nearest(place, self._lines)
        row = self.sheet.cursor_row
        if found is not None and (row is None or row.key != found):
            self.sheet.reveal(found)

    async def _take(self, _row: Row) -> None:
        await self.action_edit()

    async def action_edit(self) -> None:
        """Edit the field under the cursor in the way of its kind."""
        line = self.line
        if line is None:
            return
        if line.kind in {"fields", "table", "record"}:
            self.sheet.action_unfold()
            return
        note = self.source.field_help(line.place)
        if note.fixed:
            self.say(f"{note.fixed[0].upper()}{note.fixed[1:]}.")
        elif line.kind == "flag":
            await self.settle(self.source.set_text(line.place, FLAGS[line.text or ""]))
        elif line.kind == "choice":
            await self._choose(line, note.words)
        elif line.text is None:
            self.say(
                f"The {note.words} holds a ';' or outer blanks and cannot be typed on one line: edit it in the file."
            )
        else:
            question = f"{note.words} (such as {note.example}):" if note.example else f"{note.words}:"
            await self._type(line, question, line.text)

    async def _choose(self, line: FieldLine, words: str) -> None:
        now = line.text or ""
        choices = [
            Choice(found.id, found.title, ", ".join(filter(None, (found.note, AS_IT_IS if found.id == now else ""))))
            for found in self.source.field_choices(line.place)
        ]

        async def chosen(choice: str | None) -> None:
            if choice == "":
                await self.clear(line)
            elif choice is not None:
                await self.settle(self.source.set_text(line.place, choice))

        is_known = any(choice.id == now for choice in choices)
        await self.choose(f"{words}:", choices, chosen, current=now if is_known else "")

    async def _type(self, line: FieldLine, question: str, text: str) -> None:
        offered = clean(text)
        if offered != text:
            self.say("Line ends and signs that do not show have become blanks or are left out in what is typed over.")

        def attempt(typed: str) -> Outcome:
            if typed == offered:
                return Outcome("nothing", "Nothing was changed.")
            if not typed.strip() and line.cleared is not None:
                return self.source.do(SetField(place=line.place, value=line.cleared))
            return self.source.set_text(line.place, typed)

        await self.ask_until_taken(question, offered, attempt)

    async def action_clear(self) -> None:
        """Clear the field under the cursor."""
        line = self.line
        if line is not None:
            await self.clear(line)

    async def clear(self, line: FieldLine) -> None:
        """Make a field unknown, or what holds where it is not written."""
        if line.kind in {"record", "table"} or (line.kind == "fields" and not line.shown):
            self.say("This only holds fields: delete clears one of them.")
        else:
            await self.do(SetField(place=line.place, value=line.cleared))

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
