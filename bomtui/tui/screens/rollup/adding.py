"""Adding what can stand at the line under the cursor."""

from collections.abc import Callable, Sequence

from bomtui.edit.edit import Edit
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.group import Group
from bomtui.edit.edits.module import AddModule
from bomtui.edit.edits.network import AddMessage, AddNetwork, AddNode
from bomtui.edit.edits.vehicle import AddSubsystem, AddZone
from bomtui.model.variant import Module
from bomtui.services.editing import BETWEEN
from bomtui.services.part_words import kind_words
from bomtui.services.power_stage import fets_of, stage_channels, staged, takes_stage
from bomtui.tui.from_services.lines import Line
from bomtui.tui.from_services.shape import (
    Named,
    device_kinds,
    devices,
    drives,
    feeds,
    item_kinds,
    network_kinds,
    new_id_problem,
    new_load,
    new_rail,
    node_sites,
    quantity_of,
    senders,
    subsystems,
    supply_inputs,
    voltage_of,
    zones,
)
from bomtui.tui.screens.choice.screen import Choice
from bomtui.tui.screens.rollup.work import Work

NO_ZONE = "\x1fnone"
NEW_ZONE = "\x1fnew"
"""Choices beside the zones; no id is like them."""
NEW_FETS = "new"
OWN_FETS = "own"
MOST_FETS = 24
"""FETs of one power stage that are added at once; more are a slip."""
NO_VARIANT = "No variant yet that modules could stand in: v lists the variants, and a begins one there."
ADDITIONS = {
    "module": Choice("module", "module", "a box in a zone"),
    "device": Choice("device", "device", "a part with a reference, from the catalog"),
    "item": Choice("item", "item", "a part counted without a reference: board, housing, small parts"),
    "rail": Choice("rail", "rail", "a voltage that a device of the module makes"),
    "supply": Choice("supply", "supply input", "what feeds an input of the device: battery or a rail"),
    "stage": Choice("stage", "power stage", "FETs behind the channels that the load has on a pre-driver"),
    "load": Choice("load", "load", "one consumer, actuator or input of the vehicle"),
    "network": Choice("network", "network", "a bus, ring or link between modules"),
    "node": Choice("node", "node", "a transceiver, or a load with its own, on the network"),
    "message": Choice("message", "message", "what a node sends again and again"),
    "subsystem": Choice("subsystem", "subsystem", "a group of functions that owns loads"),
}


def additions(line: Line, *, takes_stage: bool = False) -> list[Choice]:
    """What can be added at a line, what stands inside it first.

    Args:
        line: The line.
        takes_stage: Whether it is a load that a pre-driver drives through FETs.
    """
    kinds = {
        "vehicle": ("module", "load", "network", "subsystem"),
        "module": ("device", "item", "rail", "network", "module"),
        "device": ("device", "item", "rail", "supply", "module"),
        "rail": ("rail", "device", "item", "module"),
        "item": ("item", "device", "rail", "module"),
        "load": ("load", "subsystem"),
        "subsystem": ("load", "subsystem"),
        "unplaced": ("load", "module"),
        "network": ("node", "message", "network"),
        "node": ("node", "message", "network"),
        "message": ("message", "node", "network"),
    }[line.kind]
    return [ADDITIONS[kind] for kind in (("stage", *kinds) if takes_stage else kinds)]


class Adding(Work):
    """The part of the working screen that adds."""

    async def action_add(self) -> None:
        """Ask what is to be added here, and for what it needs."""
        line = self.line
        steps: dict[str, Callable[[Line], object]] = {
            "module": self._add_module,
            "device": self._add_device,
            "item": self._add_item,
            "rail": self._add_rail,
            "supply": self._feed_supply,
            "stage": self._add_stage,
            "load": self._add_load,
            "subsystem": self._add_subsystem,
            "network": self._add_network,
            "node": self._add_node,
            "message": self._add_message,
        }

        def chosen(kind: str | None) -> object:
            return None if kind is None else steps[kind](line)

        takes = line.kind == "load" and takes_stage(self.source.snapshot, line.variant, line.load)
        await self.choose(f"Add what at {line.words}?", additions(line, takes_stage=takes), chosen)

    async def choose_named(
        self, question: str, named: Sequence[Named], taken: Callable[[str], object], *, empty: str = ""
    ) -> None:
        """Ask for one of some; where it is left, nothing is changed. Where there is none, what to do is said."""
        if not named:
            self.say(empty)
            return

        def chosen(choice: str | None) -> object:
            if choice is not None:
                return taken(choice)
            self.say("Nothing was added.")
            return None

        await self.choose(question, [Choice(*own) for own in named], chosen)

    def _module(self, line: Line) -> Module:
        return self.source.snapshot.proposal.variants[line.variant].modules[line.module]

    def _add_module(self, line: Line) -> None:
        variant = self.source.snapshot.proposal.variants.get(line.variant)
        if variant is None:
            self.say(NO_VARIANT)
            return

        async def named(module_id: str) -> None:
            await self._choose_zone(line, module_id)

        def problem(text: str) -> str:
            return new_id_problem(variant.modules, text, "module")

        self.ask_for_id("Id of the new module:", problem, named)

    async def _choose_zone(self, line: Line, module_id: str) -> None:
        def add(zone: str, first: tuple[Edit, ...]) -> None:
            async def answered(name: str) -> None:
                own = AddModule(variant=line.variant, module_id=module_id, zone=zone, name=name.strip())
                await self.do(Group(edits=(*first, own), words=own.label) if first else own)

            self.ask(f"Name of {module_id} (may be empty):", answered)

        def taken(choice: str) -> None:
            if choice == NEW_ZONE:
                known = self.source.snapshot.proposal.zones
                self.ask_for_id(
                    "Id of the new zone:",
                    lambda text: new_id_problem(known, text, "zone"),
                    lambda zone: add(zone, (AddZone(zone_id=zone),)),
                )
            else:
                add("" if choice == NO_ZONE else choice, ())

        named = [
            *zones(self.source.snapshot),
            (NEW_ZONE, "a new zone", "its temperature stays unknown until somebody gives it"),
            (NO_ZONE, "no zone yet", "heat and wires stay unknown"),
        ]
        await self.choose_named(f"In which zone is {module_id} mounted?", named, taken)

    async def _add_device(self, line: Line) -> None:
        source = self.source.candidates

        async def taken(kind: str) -> None:
            await self.choose_by_effect(
                f"Which {kind_words(kind)} for {line.module}?",
                "part",
                lambda: source.devices(line.variant, line.module, kind),
            )

        await self.choose_named(f"A device of which kind for {line.module}?", device_kinds(), taken)

    async def _add_item(self, line: Line) -> None:
        source = self.source.candidates

        def taken(kind: str) -> None:
            async def answered(text: str) -> None:
                quantity = quantity_of(text)
                if not quantity:
                    self.say(f"A quantity is a number above zero, such as 1 or 1.8; found {text!r}.")
                    self.ask(question, answered, text)
                    return
                await self.choose_by_effect(
                    f"Which {kind_words(kind)} for {line.module}?",
                    "part",
                    lambda: source.items(line.variant, line.module, kind, quantity),
                )

            question = "How much of it, in the unit in which it is sold:"
            self.ask(question, answered, "1")

        await self.choose_named(f"An item of which kind for {line.module}?", item_kinds(), taken)

    def _add_rail(self, line: Line) -> None:
        module = self._module(line)
        sources = devices(self.source.snapshot, module)
        if not sources:
            self.say(f"A rail needs a device that makes it: a adds one to {line.module}.")
            return

        def named(rail_id: str) -> None:
            async def answered(text: str) -> None:
                voltage_v = voltage_of(text)
                if voltage_v is None:
                    self.say(f"A voltage is expected, such as 5 V or 3.3 V; found {text!r}.")
                    self.ask(question, answered, text)
                    return

                async def taken(ref: str) -> None:
                    await self.do(new_rail(line.variant, line.module, rail_id, voltage_v, ref))

                await self.choose_named(f"Which device makes {rail_id}?", sources, taken)

            question = f"Voltage of {rail_id}:"
            self.ask(question, answered)

        self.ask_for_id("Id of the new rail:", lambda text: new_id_problem(module.rails, text, "rail"), named)

    async def _feed_supply(self, line: Line) -> None:
        module = self._module(line)

        async def taken(name: str) -> None:
            async def fed(rail: str) -> None:
                place = f"variants.{line.variant}.modules.{line.module}.devices.{line.ref}.supply.{name}"
                await self.do(SetField(place=place, value=rail))

            await self.choose_named(f"What feeds {name} of {line.words}?", feeds(module), fed)

        named = supply_inputs(self.source.snapshot, module, line.ref)
        empty = f"{line.words} has no supply input that is known of."
        await self.choose_named(f"Which supply input of {line.words}?", named, taken, empty=empty)

    async def _add_stage(self, line: Line) -> None:
        snapshot = self.source.snapshot
        fets = fets_of(snapshot, line.variant, line.load)
        if not fets:
            self._ask_for_fets(line)
            return
        choices = [
            Choice(NEW_FETS, "new FETs", "from the catalog, beside those that it has"),
            Choice(OWN_FETS, "FETs of the module", f"in place of those that it has: {', '.join(fets)}"),
        ]

        def chosen(choice: str | None) -> None:
            if choice == NEW_FETS:
                self._ask_for_fets(line)
            elif choice == OWN_FETS:
                self._ask_for_references(line, "")

        await self.choose(f"Which FETs carry {line.load}?", choices, chosen)

    def _ask_for_fets(self, line: Line) -> None:
        source = self.source.candidates

        async def answered(text: str) -> None:
            number = text.strip()
            if not number.isdecimal() or not 0 < int(number) <= MOST_FETS:
                self.say(f"A number of FETs is expected, 1 to {MOST_FETS}; found {text!r}.")
                self.ask(question, answered, text)
                return
            await self.choose_by_effect(
                f"Which FETs for {line.load}?", "part", lambda: source.stages(line.variant, line.load, int(number))
            )

        question = f"How many FETs of one part carry {line.load}:"
        variant = self.source.snapshot.proposal.variants[line.variant]
        self.ask(question, answered, str(len(stage_channels(variant, line.load))))

    def _ask_for_references(self, line: Line, text: str) -> None:
        async def answered(typed: str) -> None:
            refs = tuple(ref.strip() for ref in typed.split(BETWEEN.strip()) if ref.strip())
            outcome = self.source.do(staged(self.source.snapshot, line.variant, line.load, refs))
            await self.settle(outcome)
            if outcome.state == "refused" and outcome.retry is None:
                self._ask_for_references(line, typed)

        self.ask(f"FETs that carry {line.load} (such as Q1{BETWEEN}Q2):", answered, text)

    async def _add_load(self, line: Line) -> None:
        if line.subsystem:
            self._ask_for_load(line.subsystem)
            return
        empty = "A load belongs to a subsystem: a adds one first."
        await self.choose_named(
            "Which subsystem owns the new load?", subsystems(self.source.snapshot), self._ask_for_load, empty=empty
        )

    def _ask_for_load(self, subsystem: str) -> None:
        def named(load_id: str) -> None:
            async def answered(name: str) -> None:
                async def taken(drive: str) -> None:
                    await self.do(new_load(load_id, subsystem, name.strip(), drive))

                await self.choose_named(f"How is {load_id} connected?", drives(), taken)

            self.ask(f"Name of {load_id} (may be empty):", answered)

        known = self.source.snapshot.proposal.loads
        self.ask_for_id(f"Id of the new load of {subsystem}:", lambda text: new_id_problem(known, text, "load"), named)

    def _add_subsystem(self, _line: Line) -> None:
        def named(subsystem_id: str) -> None:
            async def answered(name: str) -> None:
                await self.do(AddSubsystem(subsystem_id=subsystem_id, name=name.strip()))

            self.ask(f"Name of {subsystem_id} (may be empty):", answered)

        known = self.source.snapshot.proposal.subsystems
        self.ask_for_id("Id of the new subsystem:", lambda text: new_id_problem(known, text, "subsystem"), named)

    def _add_network(self, line: Line) -> None:
        variant = self.source.snapshot.proposal.variants.get(line.variant)
        if variant is None:
            self.say(NO_VARIANT)
            return

        async def named(network_id: str) -> None:
            async def taken(kind: str) -> None:
                await self.do(AddNetwork(variant=line.variant, network_id=network_id, kind=kind))

            await self.choose_named(f"What is {network_id}?", network_kinds(), taken)

        self.ask_for_id("Id of the new network:", lambda text: new_id_problem(variant.networks, text, "network"), named)

    def _add_node(self, line: Line) -> None:
        network = self.source.snapshot.proposal.variants[line.variant].networks[line.network]

        async def named(node_id: str) -> None:
            async def taken(at: str) -> None:
                await self.do(AddNode(variant=line.variant, network_id=line.network, node_id=node_id, at=at))

            sites = node_sites(self.source.snapshot, line.variant, line.network)
            empty = f"Nothing has a port for {line.network}: a adds a transceiver to a module."
            await self.choose_named(f"Where is {node_id}?", sites, taken, empty=empty)

        self.ask_for_id(
            f"Id of the new node of {line.network}:", lambda text: new_id_problem(network.nodes, text, "node"), named
        )

    def _add_message(self, line: Line) -> None:
        network = self.source.snapshot.proposal.variants[line.variant].networks[line.network]

        async def named(message_id: str) -> None:
            async def taken(sender: str) -> None:
                await self.do(
                    AddMessage(variant=line.variant, network_id=line.network, message_id=message_id, sender=sender)
                )

            empty = f"A message needs a node that sends it: a adds one to {line.network}."
            await self.choose_named(f"Which node sends {message_id}?", senders(network), taken, empty=empty)

        self.ask_for_id(
            f"Id of the new message of {line.network}:",
            lambda text: new_id_problem(network.messages, text, "message"),
            named,
        )
