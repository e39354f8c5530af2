"""The circuit of each load: the current of its wire and contact, what the wire takes of it, and what protects it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bomtui.engine.calc import Gate
from bomtui.engine.channel_current import CONVERTED_DRIVES, on_currents
from bomtui.engine.contacts import Contacts, ModuleContacts, module_contacts
from bomtui.engine.drawn_current import drawn_a
from bomtui.engine.electrics import Electrics
from bomtui.engine.feed_current import feeds_of_loads
from bomtui.engine.feeds import hottest_degc, nominal_v
from bomtui.engine.load_current import PULSED
from bomtui.engine.serving import Served
from bomtui.engine.wire import (
    Laying,
    allowed_drop_v,
    ampacity,
    drop_v,
    hot_resistance,
    loop_m,
    size_of,
    smallest_area,
    wire_ohm,
)
from bomtui.engine.wiring import given_run, wires_of
from bomtui.model.bound import Value, at_most, ends, exceeds
from bomtui.model.feed import Circuit
from bomtui.model.ids import Address, natural_key
from bomtui.model.load import Load
from bomtui.model.rollup import ModuleResult

LAMP_KINDS = frozenset(("filament", "led_lamp", "led_string"))
"""Kinds of load whose light shows a drop."""


@dataclass(frozen=True, slots=True)
class LoadCircuit:
    """The circuit of one load.

    Attributes:
        load_id: The load.
        module: The module that serves it.
        feed: Feed that its current comes through; empty where nothing says which, or where it takes its plus elsewhere.
        wired: Whether the area of its wire is given.
        on_a: Current while it is on, per mode.
        heating_a: Steady current that heats its wire as its own does, in the worst mode.
        contacts: The contacts that carry it.
        allowed_v: Voltage that its wires may take.
        drop_v: Voltage that they take of its largest current, as hot as they may be.
        ampacity_a: What they carry for ever as they lie.
        trip_a: Highest current at which its channels let go; None where it has none, or where that is not known.
        lying: How its wires lie.
    """

    load_id: str
    module: str
    feed: str
    wired: bool
    on_a: Mapping[str, Value]
    heating_a: Value
    contacts: Contacts
    allowed_v: Value
    drop_v: Value
    ampacity_a: Value
    trip_a: Value
    lying: Laying


def proposed_area(calc: Gate, own: LoadCircuit) -> Value:
    """Return the area of the smallest wire that carries the steady current of a load and keeps the drop [m2].

    Args:
        calc: Gate.
        own: The circuit of the load.

    Returns:
        The area; None where no size will do, or where something unknown decides.
    """
    largest = calc.largest(list(own.on_a), list(own.on_a.values()))
    return smallest_area(calc, own.lying, own.heating_a, largest, own.allowed_v)


def load_circuits(electrics: Electrics, results: Mapping[str, ModuleResult]) -> Iterator[LoadCircuit]:
    """Yield the circuit of every load that is wired to a module, modules and loads in natural order.

    Args:
        electrics: Figures beyond the rollup.
        results: What was computed for each module.
    """
    for module_id in sorted(electrics.variant.modules, key=natural_key):
        module = electrics.variant.modules[module_id]
        inputs = electrics.inputs(module_id)
        contacts = module_contacts(
            electrics.calc,
            module,
            electrics.snapshot.parts,
            results[module_id].wires,
            electrics.proposal.settings,
        )
        served = [own for own in inputs.served if wires_of_load(electrics, own.load_id)]
        loads = {own.load_id: electrics.proposal.loads[own.load_id] for own in served}
        on = on_currents(electrics.calc, loads, electrics.proposal)
        feeds = feeds_of_loads(inputs)
        tested = electrics.load_stages[module_id].columns
        for own in served:
            powered = exceeds(
                tested.test_a[tested.row_of[own.load_id]], electrics.proposal.settings.counting.power_contact_above_a
            )
            circuit = _Circuit(electrics, module_id, own, on[own.load_id])
            yield circuit.made(feeds[own.load_id], contacts, powered=powered)


def wires_of_load(electrics: Electrics, load_id: str) -> int:
    """Return how many wires run to a load."""
    load = electrics.proposal.loads[load_id]
    return wires_of(load, electrics.proposal.settings.habit(load.drive))


class _Circuit:
    """One load in the module that serves it."""

    def __init__(self, electrics: Electrics, module_id: str, own: Served, on_a: Mapping[str, Value]) -> None:
        self.electrics = electrics
        self.calc: Gate = electrics.calc
        self.proposal = electrics.proposal
        self.module_id = module_id
        self.own = own
        self.load: Load = electrics.proposal.loads[own.load_id]
        self.circuit: Circuit = electrics.variant.placements[own.load_id].circuit
        self.on_a = {mode: on_a[mode] for mode in electrics.awake}

    def made(self, feed: str, contacts: ModuleContacts, *, powered: bool | None) -> LoadCircuit:
        """All that is known of it."""
        calc, lying = self.calc, self._laying()
        heating = calc.largest(list(self.on_a), [self._heating_a(mode) for mode in self.on_a])
        largest = calc.largest(list(self.on_a), list(self.on_a.values()))
        limits = self.proposal.settings.limits
        share = limits.drop_lamp_ratio if self.load.kind in LAMP_KINDS else limits.drop_ratio
        allowed = calc(allowed_drop_v, nominal_v=nominal_v(calc, self.proposal), limit_ratio=share)
        size = size_of(calc, lying.conductor, self.circuit.wire_area_m2)
        hot = hot_resistance(calc, size, lying.conductor_degc)
        resistance = calc(wire_ohm, resistance_ohm_per_m=hot, length_m=lying.length_m)
        return LoadCircuit(
            load_id=self.own.load_id,
            module=self.module_id,
            feed=feed,
            wired=self.circuit.wire_area_m2 is not None,
            on_a=self.on_a,
            heating_a=heating,
            contacts=contacts.of(self.circuit.contact, powered=powered),
            allowed_v=allowed,
            drop_v=calc(drop_v, current_a=largest, resistance_ohm=resistance),
            ampacity_a=ampacity(calc, size, lying),
            trip_a=self._trip_a(),
            lying=lying,
        )

    def _heating_a(self, mode: str) -> Value:
        on_a = self.on_a[mode]
        is_off = self.load.time_share_ratio.get(mode) == 0
        if self.load.behaviour == PULSED and self.load.driven_effective_a is not None and not is_off:
            return self.load.driven_effective_a
        if self.load.behaviour == PULSED and on_a is not None:
            # The load list does not give the shape of a pulse behind a converter.
            unknown = frozenset((f"shape of the pulses of {self.own.load_id}",))
            pulsed: Value = self.calc.given(at_most(ends(on_a)[1], unknown), "at most that of the pulse, for ever")
            return pulsed
        if self.load.drive in CONVERTED_DRIVES or is_off:
            return on_a
        return drawn_a(
            self.calc,
            self.proposal,
            self.own.load_id,
            mode,
            on_a,
            has_stage=bool(self.own.stage),
        )

    def _laying(self) -> Laying:
        wires = self.proposal.settings.wires
        here, there = self.electrics.variant.modules[self.module_id].zone, self.load.zone
        length: Value = self.circuit.wire_length_m
        if length is None:
            run = given_run(self.proposal.zones, here, there)
            length = None if run is None else run.length_m
        chassis: Value = self.calc.given(0.0, "returns through the chassis")
        alone = wires_of_load(self.electrics, self.own.load_id) == 1
        return Laying(
            conductor=wires.conductor,
            conductor_degc=wires.wire_max_degc if self.circuit.wire_max_degc is None else self.circuit.wire_max_degc,
            ambient_degc=hottest_degc(self.calc, self.proposal, [here, there]),
            wires=wires.bundle if self.circuit.bundle is None else self.circuit.bundle,
            length_m=self.calc(loop_m, there_m=length, back_m=chassis if alone else length),
        )

    def _trip_a(self) -> Value:
        """Highest trip current of its channels together."""
        trips = []
        for address in self.own.channels:
            device = self.electrics.variant.modules[self.module_id].devices.get(address.device)
            part = None if device is None else self.electrics.snapshot.parts.get(device.part)
            trips.append(None if part is None else part.current_limit_a.upper)
        if not trips or None in trips:
            return None
        if self.own.joined == "parallel":
            return self.calc.total(list(map(_channel_name, self.own.channels)), trips)
        return self.calc.largest(list(map(_channel_name, self.own.channels)), trips)


def _channel_name(address: Address) -> str:
    return str(address)
