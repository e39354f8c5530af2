"""From the working screen to the catalog, and to what it says now of the proposal's frozen parts."""

from bomtui.tui.screens.rollup.comparing import Comparing


class Cataloguing(Comparing):
    """The part of the working screen that leads to the catalog."""

    async def action_catalog(self) -> None:
        """Open the catalog, with prices at the quantity of one piece a vehicle."""
        from bomtui.tui.screens.catalog.screen import CatalogScreen

        proposal = self.source.snapshot.proposal
        quantity, currency = proposal.vehicle.volume_per_year or 1, proposal.proposal.currency
        await self.app.push_screen(CatalogScreen(self.source.catalog, self.glyphs, quantity, currency))

    async def action_refresh(self) -> None:
        """Show the frozen parts beside the catalog."""
        from bomtui.tui.screens.refresh.screen import RefreshScreen

        if self.variant:
            await self.app.push_screen(RefreshScreen(self.source, self.variant, self.glyphs), self.go_to_goal)
        else:
            self.say("There is no variant whose parts could be refreshed.")
