"""Editing the fields of what is under the cursor, and the lists of the vehicle."""

from bomtui.tui.screens.rollup.work import Work


class Editing(Work):
    """The part of the working screen that leads to fields."""

    async def action_edit(self) -> None:
        """Edit the fields of the line; of the whole vehicle, its lists."""
        # Loaded when first asked for: the working screen stands before that.
        from bomtui.tui.screens.fields.screen import FieldsScreen

        place = self.source.record_at(self.variant, self.address or "")
        if place is None:
            self.say("This line has no fields of its own: e works on a load, module, device, part or subsystem.")
        elif place:
            await self.app.push_screen(FieldsScreen(self.source, self.variant, place, self.glyphs))
        else:
            await self.action_lists()

    async def action_lists(self) -> None:
        """Edit all that belongs to the vehicle."""
        from bomtui.tui.screens.lists.screen import ListsScreen

        await self.app.push_screen(ListsScreen(self.source, self.variant, self.glyphs))
