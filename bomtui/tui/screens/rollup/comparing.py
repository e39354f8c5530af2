"""From the working screen to comparisons, cost over volume and load lists, and back to a place that they lead to."""

from bomtui.tui.report import Goal
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.rollup.computing import Computing


class Comparing(Computing):
    """The part of the working screen that compares."""

    def reveal_place(self, address: str) -> bool:
        """Put the cursor on an address, or on the place it is in, turning the tree where that helps."""
        raise NotImplementedError

    def show_variant(self, variant: str, address: str = "") -> None:
        """Show another variant, with the cursor on a place of it."""
        raise NotImplementedError

    async def action_compare(self) -> None:
        """Compare the variant with another one: at once where there is one other, else by choice."""
        others = [own for own in self.source.variants() if own.id != self.variant]
        if not self.variant:
            self.say("There is no variant to compare yet.")
            return
        if len(others) < 2:
            # Without another variant it is held against itself; another revision can then be named.
            await self._compare(others[0].id if others else self.variant)
            return
        choices = [Choice(own.id, own.id, own.title) for own in others]

        async def chosen(first: str | None) -> None:
            if first is not None:
                await self._compare(first)

        await self.choose(f"Compare {self.variant} with which variant?", choices, chosen)

    async def _compare(self, first: str) -> None:
        from bomtui.tui.screens.compare.screen import CompareScreen

        await self.app.push_screen(CompareScreen(self.source, first, self.variant, self.glyphs), self.go_to_goal)

    async def action_volumes(self) -> None:
        """Show cost over volume and years."""
        from bomtui.tui.screens.volumes.screen import VolumesScreen

        if self.variant:
            await self.app.push_screen(VolumesScreen(self.source, self.variant, self.glyphs), self.go_to_goal)

    def action_load_list(self) -> None:
        """Ask for a customer's load list, and show what would become of it."""

        async def answered(text: str) -> None:
            if text.strip():
                from bomtui.tui.screens.load_list.screen import LoadListScreen

                screen = LoadListScreen(self.source, self.variant, text.strip(), self.glyphs)
                await self.app.push_screen(screen, self.go_to_goal)

        self.ask("Take in the load list in file:", answered)

    async def action_opportunities(self) -> None:
        """Show fewer or cheaper drivers."""
        from bomtui.tui.screens.opportunities.screen import OpportunitiesScreen

        if self.variant:
            await self.app.push_screen(OpportunitiesScreen(self.source, self.variant, self.glyphs), self.go_to_goal)

    def go_to_goal(self, goal: Goal | None) -> None:
        """Go to a place that another screen leads to."""
        if goal is None:
            return
        if goal.variant and goal.variant != self.variant:
            self.show_variant(goal.variant, goal.address)
        elif not self.reveal_place(goal.address):
            self.say(f"{goal.address} has no line in the sheet.")
