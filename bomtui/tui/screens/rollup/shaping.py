"""Shaping the electronics from the line under the cursor: removing, renaming, copying, moving, swapping."""

from bomtui.edit.edit import Edit
from bomtui.edit.edits.device import RemoveDevice, RenameDevice
from bomtui.edit.edits.item import RemoveItem, RemoveRail, RenameRail
from bomtui.edit.edits.load import RemoveLoad, RenameLoad
from bomtui.edit.edits.module import CopyModule, RemoveModule, RenameModule
from bomtui.edit.edits.network import (
    RemoveMessage,
    RemoveNetwork,
    RemoveNode,
    RenameMessage,
    RenameNetwork,
    RenameNode,
)
from bomtui.edit.edits.vehicle import RemoveSubsystem, RenameSubsystem
from bomtui.model.variant import BATTERY
from bomtui.tui.from_services.lines import Line
from bomtui.tui.from_services.shape import new_id_problem, zones
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.rollup.work import Work

SAME_ZONE = ""


class Shaping(Work):
    """The part of the working screen that shapes what is there."""

    async def action_remove(self) -> None:
        """Remove what the line is."""
        edit = removal(self.line)
        if edit is None:
            self.say("Nothing to remove here: go to the line of what is to go.")
            return
        await self.do(edit)

    def action_rename(self) -> None:
        """Ask for another id."""
        line = self.line
        former = {
            "module": line.module,
            "device": line.ref,
            "rail": line.rail,
            "load": line.load,
            "subsystem": line.subsystem,
            "network": line.network,
            "node": line.node,
            "message": line.message,
        }
        if line.kind not in former:
            self.say("This line has no id to change: module, device, rail, load, subsystem and network have one.")
            return

        async def answered(new_id: str) -> None:
            await self.do(renaming(line, new_id))

        self.ask_for_id(f"New id of {line.words}:", lambda text: self._renaming_problem(line, text), answered,
                        former[line.kind])  # fmt: skip

    def _renaming_problem(self, line: Line, new_id: str) -> str:
        proposal = self.source.snapshot.proposal
        if line.kind == "load":
            return new_id_problem(proposal.loads, new_id, "load", line.load)
        if line.kind == "subsystem":
            return new_id_problem(proposal.subsystems, new_id, "subsystem", line.subsystem)
        if line.network:
            network = proposal.variants[line.variant].networks[line.network]
            if line.kind == "network":
                networks = proposal.variants[line.variant].networks
                return new_id_problem(networks, new_id, "network", line.network)
            if line.kind == "node":
                return new_id_problem(network.nodes, new_id, "node", line.node)
            return new_id_problem(network.messages, new_id, "message", line.message)
        modules = proposal.variants[line.variant].modules
        if line.kind == "module":
            return new_id_problem(modules, new_id, "module", line.module)
        module = modules[line.module]
        if line.kind == "rail":
            return new_id_problem((*module.rails, BATTERY), new_id, "rail", line.rail)
        return new_id_problem(module.devices, new_id, "device", line.ref)

    def action_copy(self) -> None:
        """Ask for the id and the zone of a copy of the module."""
        line = self.line
        if not line.module:
            self.say("c copies a module: go to its line, or to one in it.")
            return
        proposal = self.source.snapshot.proposal
        modules = proposal.variants[line.variant].modules

        async def answered(new_id: str) -> None:
            choices = [
                Choice(SAME_ZONE, "the same zone", modules[line.module].zone or "none"),
                *(Choice(*own) for own in zones(self.source.snapshot)),
            ]

            async def chosen(zone: str | None) -> None:
                if zone is not None:
                    await self.do(CopyModule(variant=line.variant, module_id=line.module, new_id=new_id, zone=zone))

            await self.choose(f"In which zone is {new_id} mounted?", choices, chosen)

        def problem(text: str) -> str:
            return new_id_problem(modules, text, "module")

        self.ask_for_id(f"Id of the copy of {line.module}:", problem, answered)

    async def action_move(self) -> None:
        """Choose another zone for the module by what that changes."""
        line = self.line
        if not line.module:
            self.say("m moves a module to another zone: go to its line, or to one in it.")
            return
        source = self.source.candidates
        await self.choose_by_effect(
            f"Mount {line.module} in which zone?", "zone", lambda: source.zones(line.variant, line.module)
        )

    async def action_swap(self) -> None:
        """Choose another part for the device or item by what it changes."""
        line = self.line
        source = self.source.candidates
        if line.kind == "device":
            await self.choose_by_effect(
                f"Which part for {line.words}?", "part", lambda: source.swaps(line.variant, line.module, line.ref)
            )
        elif line.kind == "item":
            await self.choose_by_effect(
                f"Which part for {line.words}?", "part", lambda: source.item_swaps(line.variant, line.module, line.part)
            )
        else:
            self.say("s swaps the part of a device or item: go to the line of one.")


def removal(line: Line) -> Edit | None:
    """Return the edit that removes what a line is; None for a line that cannot go."""
    if line.kind == "module":
        return RemoveModule(variant=line.variant, module_id=line.module)
    if line.kind == "device":
        return RemoveDevice(variant=line.variant, module_id=line.module, ref=line.ref)
    if line.kind == "rail":
        return RemoveRail(variant=line.variant, module_id=line.module, rail_id=line.rail)
    if line.kind == "item":
        return RemoveItem(variant=line.variant, module_id=line.module, part=line.part)
    if line.kind == "load":
        return RemoveLoad(load_id=line.load)
    if line.network:
        return _network_removal(line)
    return RemoveSubsystem(subsystem_id=line.subsystem) if line.kind == "subsystem" else None


def _network_removal(line: Line) -> Edit:
    if line.kind == "node":
        return RemoveNode(variant=line.variant, network_id=line.network, node_id=line.node)
    if line.kind == "message":
        return RemoveMessage(variant=line.variant, network_id=line.network, message_id=line.message)
    return RemoveNetwork(variant=line.variant, network_id=line.network)


def renaming(line: Line, new_id: str) -> Edit:
    """Return the edit that gives a module, device, rail, load, subsystem, network, node or message another id."""
    if line.kind == "network":
        return RenameNetwork(variant=line.variant, network_id=line.network, new_id=new_id)
    if line.kind == "node":
        return RenameNode(variant=line.variant, network_id=line.network, node_id=line.node, new_id=new_id)
    if line.kind == "message":
        return RenameMessage(variant=line.variant, network_id=line.network, message_id=line.message, new_id=new_id)
    if line.kind == "module":
        return RenameModule(variant=line.variant, module_id=line.module, new_id=new_id)
    if line.kind == "device":
        return RenameDevice(variant=line.variant, module_id=line.module, ref=line.ref, new_ref=new_id)
    if line.kind == "rail":
        return RenameRail(variant=line.variant, module_id=line.module, rail_id=line.rail, new_id=new_id)
    if line.kind == "load":
        return RenameLoad(load_id=line.load, new_id=new_id)
    return RenameSubsystem(subsystem_id=line.subsystem, new_id=new_id)
