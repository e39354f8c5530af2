"""Changes that reach through the variant, each chosen by its effect: a part everywhere, a subsystem, the volume."""

from bomtui.tui.screens.rollup.work import Work


class Reaching(Work):
    """The part of the working screen that changes much at once."""

    async def action_swap_everywhere(self) -> None:
        """Choose another part for this one wherever the variant uses it."""
        line = self.line
        part = line.part
        if line.kind == "device":
            module = self.source.snapshot.proposal.variants[line.variant].modules[line.module]
            part = module.devices[line.ref].part
        if line.kind not in {"device", "item"} or not part:
            self.say("X swaps a part everywhere: go to the line of a device or item that is made of it.")
            return
        source = self.source.candidates
        await self.choose_by_effect(
            f"Which part for {part} everywhere?", "part", lambda: source.swaps_everywhere(line.variant, part)
        )

    async def action_move_subsystem(self) -> None:
        """Choose the module that is to serve the whole subsystem of the line."""
        line = self.line
        loads = self.source.snapshot.proposal.loads
        subsystem = line.subsystem or (loads[line.load].subsystem if line.load in loads else "")
        if not subsystem or not line.variant:
            self.say("M moves a subsystem to a module: go to its line, or to one of its loads; t turns the sheet.")
            return
        source = self.source.candidates
        await self.choose_by_effect(
            f"Which module for all of {subsystem}?", "module", lambda: source.modules(line.variant, subsystem)
        )

    def action_change_volume(self) -> None:
        """Ask for another volume and show what it changes before it is taken."""
        now = self.source.snapshot.proposal.vehicle.volume_per_year

        async def answered(text: str) -> None:
            text = text.strip()
            if not text:
                return
            if not (text.isascii() and text.isdecimal() and int(text)):
                self.say("Expected a whole number above 0, vehicles a year.")
                return
            source, variant = self.source.candidates, self.variant
            await self.choose_by_effect(
                "How many vehicles a year?", "volume", lambda: source.volumes(variant, int(text))
            )

        self.ask("Vehicles a year:", answered, "" if now is None else str(now))
