"""LED strings whose voltage does not suit the battery and the circuit of their driver."""

from collections.abc import Iterator

from bomtui.engine.crank import lowest_v
from bomtui.engine.headroom import with_headroom_v
from bomtui.engine.supply_range import supply_high_v
from bomtui.model.bound import Value, ends, exceeds
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address
from bomtui.model.part import Part
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided

STEPS_DOWN = frozenset(("linear", "buck"))
STEPS_UP = "boost"


def ask(context: Context) -> Iterator[Verdict]:
    """An LED string has a voltage that its driver cannot make from the battery.

    What it asks:
        For every LED string on an LED driver that takes the vehicle's supply, in every mode in which it may be on: is
        its voltage and a headroom, by setting, at most the lowest supply voltage where the driver is linear or a buck,
        and is it above the highest supply voltage where it is a boost? It cannot tell where a voltage or the circuit
        of the driver is not given. Circuits that do both are not asked.

    Why it matters:
        A buck driver cannot lift: below the voltage of its string the light goes dim and out with the battery.

    Failing example:
        A string of 26.6 V on a buck driver in a 12 V vehicle.

    Passing example:
        The same string on a boost-buck driver.

    Source:
        Definition of the circuits; the headroom is common practice, no source.
    """
    for load_id, addresses in context.addresses.items():
        devices = dict.fromkeys(Address(address.module, address.device) for address in addresses if address.channel)
        asked = [own for own in devices if (part := context.part(own)) is not None and part.kind == "led_driver"]
        if not asked:
            yield not_applicable(load_id)
        for device in asked:
            part = context.part(device)
            if part is not None:
                yield _verdict(context, load_id, device, part)


def _verdict(context: Context, load_id: str, device: Address, part: Part) -> Verdict:
    load = context.loads[load_id]
    modes = [mode for mode in context.electrics.awake if load.time_share_ratio.get(mode) != 0]
    if not modes or (part.topology and part.topology not in {*STEPS_DOWN, STEPS_UP}):
        return not_applicable(load_id)
    needed = context.electrics.calc(
        with_headroom_v, string_v=load.driven_voltage_v, headroom_v=context.settings.limits.string_headroom_v
    )
    if part.topology == STEPS_UP:
        highest = {mode: supply_high_v(context.proposal.modes[mode]) for mode in modes}
        answers = [(exceeds(value, load.driven_voltage_v), mode, value) for mode, value in highest.items()]
        measured: Value = load.driven_voltage_v
        relation = "above"
    else:
        lowest = {mode: lowest_v(context.electrics, mode) for mode in modes}
        answers = [(exceeds(needed, value), mode, value) for mode, value in lowest.items()]
        measured, relation = needed, "at most"
    key = context.variant.modules[device.module].devices[device.device].part
    rank = {True: 2, None: 1, False: 0}
    wrong, mode, value = min(answers, key=lambda own: (-rank[own[0]], _low(own[2])))
    facts = {"device": str(device), "part": key, "mode": mode, "relation": relation, "topology": part.topology or "?"}
    if wrong is None or not part.topology:
        return undecided(load_id, measured, value, "V", **facts)
    return failed(load_id, measured, value, "V", **facts) if wrong else passed(load_id, measured, value, "V")


def _low(value: Value) -> float:
    return -1.0 if value is None else ends(value)[0]


RULE = Rule(
    name="string.headroom",
    severity="error",
    failed="the string of {place} needs {measured} from {device} ({part}, {topology}), and must be {relation} the"
    " supply"
    " of {limit} in {mode}",
    undecided="the string of {place} needs {measured} from {device} ({part}), the supply is {limit} in {mode}: whether"
    " it"
    " suits is unknown",
    remedy="Place {place} on a driver that steps up and down, or make a string of another number of LEDs.",
    ask=ask,
    scope="modules",
)
