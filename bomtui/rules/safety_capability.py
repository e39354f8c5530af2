"""Devices declared for a lower integrity level than the functions that need them."""

from collections.abc import Iterator
from typing import NamedTuple

from bomtui.engine.capability import asks_something, declared_for, falls_short
from bomtui.engine.decomposition import built_to
from bomtui.engine.load_path import CONTROLLER, load_path, unclaimed_sources
from bomtui.model.finding import Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.model.part import DRIVER_KINDS, SUPPLY_KINDS
from bomtui.model.safety import LEVELS, NO_LEVEL, SCHEMES
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided
from bomtui.rules.wording import listed

TRANSCEIVER_KINDS = frozenset(
    ("transceiver_lin", "transceiver_can", "transceiver_eth", "transceiver_optical", "transceiver_rf")
)
PATH_KINDS = DRIVER_KINDS | SUPPLY_KINDS | TRANSCEIVER_KINDS | {CONTROLLER, "sensor", "display"}
"""Kinds that are judged. Passives, discretes, connectors and boards are argued by their own evaluation (ISO 26262-8
clause 13; value from memory), memories and reverse protection with the module that they belong to (common practice)."""


class _Path(NamedTuple):
    """Devices that a load needs for certain, and devices that it may need."""

    certain: set[Address]
    possible: set[Address]


def ask(context: Context) -> Iterator[Verdict]:
    """A device is declared for a lower integrity level than a function that needs it.

    What it asks:
        For every device in the path of a load: is the level for which its part is declared at least the highest level
        that these loads ask for, scheme by scheme (ISO 26262, ISO 13849-1, IEC 61508)? Levels of different schemes are
        never translated into each other. The path is the driver, or the chip that is counted in the load; the
        controller that commands it; the amplifier, display or transceiver that the drive code needs; and the chips that
        make the rails of all of these. It cannot tell where the part declares no level, where several devices come into
        question and none is named, or where a rail feeds no device of its module, so that any load there may need it.
        Supply inputs that hang on nothing are a matter of `rail.missing`. A load that is redundant with another one
        asks for its share, where that is lawful and its independence recorded (`safety.redundancy`).

    Why it matters:
        The maker of the part has not prepared it for that level: the proposal needs a safety argument, another part, or
        another path, and each of them costs. A device that passes is not thereby safe.

    Failing example:
        A direction indicator that asks B on a switch declared for A.

    Passing example:
        The same indicator on a switch declared for B, commanded by a controller declared for B.

    Source:
        ISO 26262: elements inherit the integrity level of the function (value from memory); which parts belong to the
        path is common practice, no source.
    """
    certain: dict[Address, list[str]] = {}
    possible: dict[Address, list[str]] = {}
    for load_id in context.addresses:
        path = _path(context, load_id)
        for devices, loads_of in ((path.certain, certain), (path.possible - path.certain, possible)):
            for address in devices:
                loads_of.setdefault(address, []).append(load_id)
    for address in sorted(certain.keys() | possible.keys(), key=lambda address: natural_key(str(address))):
        part = context.part(address)
        if part is None or part.kind in PATH_KINDS:
            yield from _verdicts(context, address, certain.get(address, []), possible.get(address, []))


def _verdicts(context: Context, address: Address, certain: list[str], possible: list[str]) -> Iterator[Verdict]:
    """Answer for a device, scheme by scheme: levels of different schemes are not compared."""
    schemes = {context.loads[load_id].safety_scheme for load_id in (*certain, *possible)}
    if schemes == {"none"}:
        yield not_applicable(str(address))
    for scheme in SCHEMES:
        if scheme in schemes and scheme in LEVELS:
            own, maybe = (
                [load_id for load_id in loads if context.loads[load_id].safety_scheme == scheme]
                for loads in (certain, possible)
            )
            yield _verdict(context, address, scheme, own, maybe)


def _verdict(context: Context, address: Address, scheme: str, certain: list[str], possible: list[str]) -> Verdict:
    place = str(address)
    device = context.device(address)
    declared = declared_for(context.part(address), scheme)
    facts = {"part": device.part if device is not None else place}
    every = [*certain, *possible]
    strange = [load_id for load_id in every if _level(context, load_id) not in (*LEVELS[scheme], NO_LEVEL)]
    if strange:
        why = f"{scheme} has no such level"
        return undecided(place, _word(scheme, declared), None, **facts, loads=_named(context, strange), why=why)
    asked = _highest(context, scheme, every)
    limit = _word(scheme, asked)
    if declared is None:
        if falls_short(declared, asked, scheme) is False:
            return passed(place, None, limit)
        loads = _named(context, _above(context, scheme, every, None))
        return undecided(place, None, limit, **facts, loads=loads, why=f"{facts['part']} declares no level")
    surely = _highest(context, scheme, certain)
    if falls_short(declared, surely, scheme):
        loads = _named(context, _above(context, scheme, certain, declared))
        return failed(place, _word(scheme, declared), _word(scheme, surely), **facts, loads=loads)
    if falls_short(declared, asked, scheme):
        loads = _named(context, _above(context, scheme, possible, declared))
        why = f"{facts['part']} is declared for use up to {_word(scheme, declared)}, and whether they need this device"
        return undecided(place, _word(scheme, declared), limit, **facts, loads=loads, why=f"{why} is not known")
    return passed(place, _word(scheme, declared), limit)


def _word(scheme: str, level: str | None) -> str | None:
    """Write a level: of ISO 26262 as it stands, of another scheme with its name."""
    return level if level is None or scheme == SCHEMES[0] or level == NO_LEVEL else f"{scheme} {level}"


def _level(context: Context, load_id: str) -> str:
    return built_to(context.proposal, load_id)


def _rank(scheme: str, level: str | None) -> int:
    return -1 if level is None or level not in LEVELS[scheme] else LEVELS[scheme].index(level)


def _highest(context: Context, scheme: str, loads: list[str]) -> str:
    return max((_level(context, load_id) for load_id in loads), key=lambda own: _rank(scheme, own), default=NO_LEVEL)


def _above(context: Context, scheme: str, loads: list[str], declared: str | None) -> list[str]:
    return [
        load_id
        for load_id in sorted(loads, key=natural_key)
        if asks_something(scheme, _level(context, load_id))
        and _rank(scheme, _level(context, load_id)) > _rank(scheme, declared)
    ]


def _named(context: Context, loads: list[str]) -> str:
    return listed(
        [f"{load_id} ({_word(context.loads[load_id].safety_scheme, _level(context, load_id))})" for load_id in loads]
    )


def _path(context: Context, load_id: str) -> _Path:
    path = load_path(context.variant, context.parts, context.loads[load_id], load_id, context.addresses[load_id])
    certain = path.serving.certain | path.command.certain
    possible = path.serving.possible | path.command.possible
    possible |= unclaimed_sources(context.variant, context.serving.module_of[load_id])
    return _Path(_with_supplies(context, certain), _with_supplies(context, possible))


def _with_supplies(context: Context, devices: frozenset[Address]) -> set[Address]:
    """Return the devices with all chips that make their rails, up to the battery."""
    found: set[Address] = set()
    waiting = list(devices)
    while waiting:
        address = waiting.pop()
        device = context.device(address)
        if address in found or device is None:
            continue
        found.add(address)
        rails = context.variant.modules[address.module].rails
        waiting += [Address(address.module, rails[name].source) for name in device.supply.values() if name in rails]
    return found


RULE = Rule(
    name="safety.capability",
    severity="error",
    failed="{part} is declared for use up to {measured}, the function of {loads} asks {limit}: needs a safety argument",
    undecided="the function of {loads} asks {limit}: {why}",
    remedy="Choose a part declared for {limit}, move the loads to such a device, or record a safety argument.",
    ask=ask,
    scope="modules",
)
