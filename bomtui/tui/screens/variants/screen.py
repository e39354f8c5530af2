"""The variants of a proposal: choosing one, and beginning, copying, renaming and deleting them."""

from collections.abc import Iterable
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from bomtui.edit.edits.variant import AddVariant, CopyVariant, DeleteVariant, RenameVariant
from bomtui.tui.outcomes import Outcome
from bomtui.tui.screens.steps.side import SideScreen
from bomtui.tui.user_commands import bindings
from bomtui.tui.widgets.columns import Column
from bomtui.tui.widgets.lines import Lines
from bomtui.tui.widgets.rows import Row
from bomtui.tui.widgets.sheet import Sheet

COLUMNS = (Column("Variant"), Column("Name", max_width=40), Column("Remark"))
NONE_YET = "No variant yet: a begins one without modules."


class VariantsScreen(SideScreen[str | None]):
    """The variants of a proposal; ends with the id of the one to show, or with None where there is none.

    Args:
        source: The open proposal.
        variant: Id of the one that is shown.
        glyphs: Signs of the screen.
    """

    SCOPES = ("variants", "keep", "sheet")
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("variants")]

    def compose_parts(self) -> Iterable[Widget]:
        """Title, list, status and the lines to type in."""
        yield Lines(self.title_line, id="title")
        yield Sheet(COLUMNS, self.glyphs, id="list", take=self._take, empty=NONE_YET)
        yield from self.compose_foot()

    def on_mount(self) -> None:
        """Show the variants with the cursor on the one that is shown."""
        self._show()
        self.sheet.reveal(self.variant)
        self.set_focus(self.sheet)

    def head(self) -> str:
        """What the screen asks."""
        return "Which variant?   enter takes it"

    def _show(self) -> None:
        rows = [Row(choice.id, 0, (choice.id, choice.title, choice.note)) for choice in self.source.variants()]
        self.sheet.set_rows(rows)

    def show_newest(self, address: str = "") -> None:
        """Show the variants as they are now."""
        del address
        self._show()
        self.show_heading()

    def show_step(self, outcome: Outcome) -> None:
        """Show the variants as they are now, with the cursor on the one that was changed."""
        table, _, changed = outcome.place.partition(".")
        known = [choice.id for choice in self.source.variants()]
        changed = changed if table == "variants" and changed in known else ""
        if self.variant not in known:
            # What was shown has another id, or is gone.
            self.variant = changed or (known[0] if known else "")
        self.show_newest()
        if changed:
            self.sheet.reveal(changed)

    @property
    def _chosen(self) -> str:
        """Id of the variant under the cursor; empty where there is none."""
        row = self.sheet.cursor_row
        return row.key if row else ""

    def _take(self, row: Row) -> None:
        self.dismiss(row.key)

    def action_next(self) -> None:
        """Go to the next variant, from the last one to the first."""
        keys = [choice.id for choice in self.source.variants()]
        if self._chosen:
            self.sheet.reveal(keys[(keys.index(self._chosen) + 1) % len(keys)])

    async def action_add(self) -> None:
        """Ask for an id and begin a variant without modules."""
        await self.ask_until_taken(
            "Id of the new variant:", "", lambda key: self.source.do(AddVariant(new_id=key.strip()))
        )

    async def action_copy(self) -> None:
        """Ask for an id and begin a variant as the copy of the one under the cursor."""
        old = self._chosen
        if not old:
            self.say(NONE_YET)
            return
        await self.ask_until_taken(
            f"Id of the copy of {old}:", "", lambda key: self.source.do(CopyVariant(variant=old, new_id=key.strip()))
        )

    async def action_rename(self) -> None:
        """Ask for another id of the variant under the cursor."""
        old = self._chosen
        if not old:
            self.say(NONE_YET)
            return
        await self.ask_until_taken(
            f"New id of variant {old}:", old, lambda key: self.source.do(RenameVariant(variant=old, new_id=key.strip()))
        )

    async def action_edit(self) -> None:
        """Edit the fields of the variant under the cursor."""
        from bomtui.tui.screens.fields.screen import FieldsScreen

        if self._chosen:
            screen = FieldsScreen(self.source, self._chosen, f"variants.{self._chosen}", self.glyphs)
            await self.app.push_screen(screen, lambda _: self.show_newest())

    async def action_delete(self) -> None:
        """Delete the variant under the cursor."""
        if self._chosen:
            await self.do(DeleteVariant(variant=self._chosen))

    def action_leave(self) -> None:
        """Go back; the variant that is shown stays, under the id that it has now."""
        self.dismiss(self.variant or None)
