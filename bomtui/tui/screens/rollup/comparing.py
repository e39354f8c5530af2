"""From the working screen to comparisons, cost over volume and load lists, and back to a place that they lead to."""

from bomtui.tui.incoming import Listed
from bomtui.tui.report import Goal
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.rollup.computing import Computing

LISTED: dict[Listed, str] = {
    "loads": "a customer's load list; loads are added, or their fields set",
    "placements": "loads and the channels that serve them in this variant",
    "distances": "wire runs between zones",
    "quantities": "pieces of the items of modules in this variant",
    "parts": "parts, prices or alternates, into the catalog and not the proposal",
}
"""What a list may hold."""


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

    async def action_incoming(self) -> None:
        """Ask what a list holds and where it is, and show what would become of it."""
        choices = [Choice(what, what, note) for what, note in LISTED.items()]

        async def chosen(what: str | None) -> None:
            own = next((own for own in LISTED if own == what), None)
            if own is not None:
                self._ask_for_list(own)

        await self.choose("Take in a list of what?", choices, chosen)

    def _ask_for_list(self, what: Listed) -> None:
        async def answered(text: str) -> None:
            if text.strip():
                from bomtui.tui.screens.incoming.screen import IncomingScreen

                screen = IncomingScreen(self.source, self.variant, what, text.strip(), self.glyphs)
                await self.app.push_screen(screen, self.go_to_goal)

        self.ask(f"Take in the list of {what} in file:", answered)

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
