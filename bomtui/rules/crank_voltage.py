"""Drivers that do not work at the voltage that is left while the engine is cranked."""

from collections.abc import Iterator

from bomtui.engine.crank import cranking_modes, is_needed, lowest_v
from bomtui.engine.fit import meets_supply
from bomtui.model.bound import Value, exceeds
from bomtui.model.finding import Need, Verdict
from bomtui.model.ids import Address
from bomtui.rules.context import Context, Rule, failed, helped_by, not_applicable, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """A driver does not work at the dip of the supply in which its load is needed.

    What it asks:
        For every load in use while the engine is cranked, or marked as needed then, and every device on whose channels
        it is placed and that takes the vehicle's supply: is the lowest operating voltage of the part at most the dip of
        the supply? It cannot tell where either is not given. A driver on a rail depends on its supply, which is asked
        for itself.

    Why it matters:
        A starter relay that its driver lets go of at 6 V chatters, and the engine never starts.

    Failing example:
        A fuel pump on a switch that works from 8 V, in a 12 V vehicle that dips to 6 V.

    Passing example:
        The same pump on a switch that works from 4.5 V.

    Source:
        Common practice, no source: dips of 6 V in 12 V and of 8 to 10 V in 24 V vehicles; modes give their own.
    """
    modes = cranking_modes(context.electrics)
    for load_id, addresses in context.addresses.items():
        load = context.loads[load_id]
        needed = [mode for mode in modes if is_needed(load, mode)]
        devices = dict.fromkeys(Address(address.module, address.device) for address in addresses if address.device)
        if not needed or not devices:
            yield not_applicable(load_id)
        for device in devices if needed else ():
            volts = {mode: lowest_v(context.electrics, mode) for mode in needed}
            yield _verdict(context, load_id, device, volts)


def _verdict(context: Context, load_id: str, address: Address, volts: dict[str, Value]) -> Verdict:
    device, part = context.device(address), context.part(address)
    if part is not None and not meets_supply(part, device):
        return not_applicable(load_id)
    least_v = None if part is None else part.operating_min_v
    answers = [(exceeds(least_v, value), mode, value) for mode, value in volts.items()]
    rank = {True: 2, None: 1, False: 0}
    short, mode, value = max(answers, key=lambda own: rank[own[0]])
    facts = {"device": str(address), "part": "no part" if device is None else device.part, "mode": mode}
    if short is None:
        return undecided(load_id, least_v, value, "V", **facts)
    if not short:
        return passed(load_id, least_v, value, "V")
    verdict = failed(load_id, least_v, value, "V", **facts)
    most = {"operating_min_v": value} if isinstance(value, float) else {}
    return helped_by(verdict, Need(kinds=(part.kind,) if part is not None else (), most=most))


RULE = Rule(
    name="crank.voltage",
    severity="error",
    failed="{place} is needed in {mode}, where the supply falls to {limit}, and {device} ({part}) works from"
    " {measured} on",
    undecided="{place} is needed in {mode}, where the supply falls to {limit}: whether {device} ({part}), which works"
    " from"
    " {measured} on, drives it is unknown",
    remedy="Place {place} on a device that works at a lower voltage, or choose such a part for {device}.",
    ask=ask,
    scope="modules",
)
