"""Transceivers that any traffic on the bus wakes while another module is awake."""

from collections.abc import Iterator

from bomtui.engine.networks.reach import modules_on, networks_of
from bomtui.model.finding import Need, Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.model.network import CAN_KINDS
from bomtui.model.part import Part
from bomtui.model.variant import Module
from bomtui.rules.context import Context, Rule, helped_by, not_applicable, passed, undecided, warned

SELECTIVE = "selective"


def ask(context: Context) -> Iterator[Verdict]:
    """A transceiver wakes its module with any traffic on a bus that is in use while the vehicle is parked.

    What it asks:
        For every CAN transceiver on terminal 30, alone or in a system-basis chip, of a module that may sleep while
        another one on its network is kept alive: does it wake by selected frames only? It cannot tell where the part
        does not say what wakes it, or the variant names no network. Vehicles in which no module is kept alive, and
        transceivers that hang on no network with one, are not asked.

    Why it matters:
        One node that asks its neighbour something at night wakes all the others, each time for seconds at full current:
        the budget of every module is then worth nothing.

    Failing example:
        A door module that is kept alive beside an engine module whose transceiver wakes with any frame.

    Passing example:
        An engine module whose transceiver wakes by selected frames.

    Source:
        Common practice, no source.
    """
    alive = [module_id for module_id, module in context.variant.modules.items() if module.keep_alive]
    for module_id in sorted(context.variant.modules, key=natural_key):
        module = context.variant.modules[module_id]
        for ref in sorted(module.devices, key=natural_key):
            part = context.parts.get(module.devices[ref].part)
            if part is None or not _has_can(part) or module.devices[ref].terminal != "30":
                continue
            place, key = str(Address(module_id, ref)), module.devices[ref].part
            if context.variant.networks:
                near = {
                    other for name in _networks(context, place) for other in modules_on(context.variant.networks[name])
                }
                others = [other for other in alive if other != module_id and other in near]
                yield _verdict(place, module, key, part, others)
            elif module.keep_alive or not any(other != module_id for other in alive):
                yield not_applicable(place)
            else:
                other = next(other for other in alive if other != module_id)
                yield undecided(
                    place, part.wake or None, SELECTIVE, other=other, missing=f"no network of {place} is named"
                )


def _networks(context: Context, place: str) -> list[str]:
    """Return the CAN networks on which a transceiver hangs."""
    return [name for name in networks_of(context.variant, place) if context.variant.networks[name].kind in CAN_KINDS]


def _has_can(part: Part) -> bool:
    return part.kind == "transceiver_can" or (part.kind == "sbc" and bool(part.can_ports))


def _verdict(place: str, module: Module, key: str, part: Part, others: list[str]) -> Verdict:
    if module.keep_alive or not others:
        return not_applicable(place)
    facts = {"part": key, "other": others[0]}
    if not part.wake:
        missing = f"nothing says what wakes {key} at {place}"
        return undecided(place, None, SELECTIVE, other=others[0], missing=missing)
    if part.wake == SELECTIVE:
        return passed(place, part.wake, SELECTIVE)
    return helped_by(warned(place, part.wake, SELECTIVE, **facts), Need(kinds=(part.kind,), has=("wake",)))


RULE = Rule(
    name="wake.noise",
    severity="warning",
    failed="{part} at {place} wakes by any traffic ({measured}), and {other} is kept alive on the same network",
    undecided="{other} is kept alive, and {missing}",
    remedy="Choose a transceiver with selective wake for {place}, feed it from terminal 15, or keep no module alive.",
    ask=ask,
)
