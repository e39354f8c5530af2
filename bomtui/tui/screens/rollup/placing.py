"""Placing loads from the line under the cursor: candidates, taking off, joining, pinning."""

from dataclasses import replace

from bomtui.edit.edits.group import Group
from bomtui.edit.edits.placement import Pin, TakeOff
from bomtui.tui.from_services.joining import joinings
from bomtui.tui.from_services.lines import Line, loads_in
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.rollup.work import Work

NO_VARIANT = "No variant yet in which a load could be served: v shows the variants."


class Placing(Work):
    """The part of the working screen that places loads."""

    async def action_place(self) -> None:
        """Choose where the load is served by what that changes."""
        line = self.line
        if not line.variant:
            self.say(NO_VARIANT)
        elif line.kind != "load":
            self.say("p places a load: go to the line of one; t turns the sheet to all loads.")
        else:
            source = self.source.candidates
            await self.choose_by_effect(
                f"Where is {line.load} served?", "place", lambda: source.places(line.variant, line.load)
            )

    async def action_take_off(self) -> None:
        """Take the loads of the line off what serves them, as one step."""
        line = self.line
        loads = loads_in(self.source.snapshot, line)
        if not loads:
            self.say(self._no_load(line))
            return
        edit = TakeOff(variant=line.variant, loads=loads)
        if line.kind == "load":
            await self.do(edit)
            return
        outcome = self.source.do(Group(edits=(edit,), words=f"take off all loads of {line.words}: {len(loads)}"))
        # The line stays in sight, for what is done there next.
        await self.settle(replace(outcome, address=""))

    async def action_join(self) -> None:
        """Ask how the load's channels, or the loads on its channel, are joined."""
        line = self.line
        if line.kind != "load" or not loads_in(self.source.snapshot, line):
            self.say("j joins the channels of a placed load: go to the line of one.")
            return
        found = joinings(self.source.snapshot, line.variant, line.load)
        if not found:
            self.say(f"{line.load} is on no channel: there is nothing to join.")
            return
        edits = {named[0]: edit for named, edit in found}

        async def chosen(choice: str | None) -> None:
            if choice is not None:
                await self.do(edits[choice])

        placement = self.source.snapshot.proposal.variants[line.variant].placements[line.load]
        sentence = f"Now on {', '.join(placement.on)}, {placement.joined or 'not joined'}."
        choices = [Choice(*named) for named, _ in found]
        await self.choose(f"How is {line.load} joined?", choices, chosen, sentences=(sentence,))

    async def action_pin(self) -> None:
        """Pin the loads of the line, or let them go where all of them are pinned."""
        line = self.line
        loads = loads_in(self.source.snapshot, line)
        if not loads:
            self.say(self._no_load(line))
            return
        placements = self.source.snapshot.proposal.variants[line.variant].placements
        pinned = not all(placements[load_id].pinned for load_id in loads)
        outcome = self.source.do(Pin(variant=line.variant, loads=loads, pinned=pinned))
        await self.settle(replace(outcome, address=outcome.address if line.kind == "load" else ""))

    def _no_load(self, line: Line) -> str:
        if line.kind == "load":
            return f"{line.load} is served by nothing: p lists where it could be."
        if line.kind in {"module", "device", "subsystem"}:
            return f"No load is placed in {line.words}."
        return "Go to the line of a load, device, module or subsystem: its loads are meant."
