"""Controller pins: what a module needs of them, by function, and whether its controllers can give it.

A pin carries one signal, and a signal uses a pin of one controller. A device hangs on the controller that commands it;
a signal of a load without a driver channel may go to any controller of the module. The needs fit exactly where a
maximum flow from needs to pins serves them all; where it does not, the functions are named that ask for more pins than
can do them. Counts are exact integers; what is not known is named and never counted as nothing.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from bomtui.engine.flow import deficient_sets, served
from bomtui.engine.plain_pins import is_in, plain_count, whole_pieces
from bomtui.model.ids import natural_key
from bomtui.model.load import Load
from bomtui.model.part import PIN_FUNCTIONS, Part, PinGroup
from bomtui.model.rollup import PinUse
from bomtui.model.settings import DriveHabit, Settings
from bomtui.model.variant import Module

CHANNEL = "channel"
"""Key of a part's pin needs for inputs that switch its channels, with PWM where the load has one."""

CONTROLLER = "controller"
DEBUG = "debug"
NO_PIN_KINDS = frozenset(
    (
        "fet",  # its gate hangs on a driver
        "ldo", "dcdc", "reverse",  # work by themselves; one that is enabled or watched by a controller says so
        "passive", "connector", "board", "housing",  # have no signals
    )
)  # fmt: skip
"""Kinds that need no controller pin unless the part itself says so (common practice, no source)."""


class PinMatch(NamedTuple):
    """How needed pins fit into pin groups.

    Attributes:
        short: Missing pins by function, or by functions joined with `+` where only together they do not fit; empty
            where all needs fit. Each figure is what these functions need less the pins that can do one of them. All
            that is missing, needs less `served`, is the largest sum of entries that share no function.
        served: Needs that find a pin.
    """

    short: dict[str, int]
    served: int


class Commanded(NamedTuple):
    """A device as its controller sees it: how to name it, its part, and the loads on its channels, each once."""

    name: str
    part: Part
    loads: Sequence[Load]


class Needs(NamedTuple):
    """Pins by function, and the names of devices whose needs are not known, or not wholly."""

    by_function: Counter[str]
    unknown: tuple[str, ...]


class ControllerPins(NamedTuple):
    """Pins of one controller, or of the signals that several, or none, could take.

    Attributes:
        ref: Reference of the controller; empty for signals that no single controller must take.
        needs: Needed pins by function.
        total: Pins it has; None where that is not known, and for signals without a controller.
        short: Missing pins as in `PinMatch`; of signals without a controller those that find no pin on any controller
            of the module after the devices are served.
    """

    ref: str
    needs: Counter[str]
    total: int | None
    short: dict[str, int]


def match_pins(needs: Mapping[str, int], groups: Mapping[str, PinGroup]) -> PinMatch:
    """Match needed pins with groups of interchangeable pins.

    Source: maximum flow and Hall's condition, see `engine.flow`.

    Raises:
        ValueError: A need is for something that no pin function is, or a count is below zero.
    """
    strange = sorted(set(needs).difference(PIN_FUNCTIONS))
    if strange:
        raise ValueError(f"{', '.join(strange)} is no pin function; expected are {', '.join(PIN_FUNCTIONS)}")
    functions = [function for function in PIN_FUNCTIONS if needs.get(function)]
    demands = [needs[function] for function in functions]
    supplies = [group.pins for group in groups.values()]
    usable = [[index for index, group in enumerate(groups.values()) if name in group.functions] for name in functions]
    count = served(demands, supplies, usable)
    if count == sum(demands):
        return PinMatch({}, count)
    return PinMatch(_named(functions, deficient_sets(demands, _group_capacities(functions, groups))), count)


def needs_known(part: Part) -> bool:
    """Tell whether it is known which pins a part needs: by its own word, by its kind, or as it is said to need none."""
    return bool(part.pin_needs) or part.kind in NO_PIN_KINDS or (part.control_pins == 0 and not part.analog_pins)


def device_needs(part: Part, loads: Sequence[Load]) -> tuple[Counter[str], bool]:
    """Return the pins that one device needs of its controller beside a shared serial bus, and whether these are all.

    Inputs that switch channels take a PWM pin for each load with a PWM frequency, at most one per input; channels in
    parallel get one signal, and their further inputs are counted as plain outputs.

    Source: common practice.

    Args:
        part: The device's part.
        loads: Loads on its channels, each once.
    """
    needs: Counter[str] = Counter()
    known = _add_device(part, loads, needs)
    return +needs, known


def load_needs(load: Load, module_zone: str, settings: Settings) -> tuple[str, int]:
    """Return the function and the count of pins that a load without a driver channel needs.

    A zone that is not known counts as another one: a need too many is seen, a missing one is not.

    Source: settings of the proposal (`drives`).
    """
    habit = settings.habit(load.drive)
    if habit.only_from_other_zone and is_in(load, module_zone):
        return habit.function, 0
    return habit.function, habit.pins + habit.pins_per_contact * load.contacts


def controller_needs(
    controller: Part, devices: Iterable[Commanded], loads: Iterable[Load], module_zone: str, settings: Settings
) -> Needs:
    """Return the pins that one controller must give.

    Crystal and debugger count once, on general pins where the controller has none just for them; once, too, count the
    lines of the SPI that all its serial parts and loads share.

    Source: common practice; the counts are settings of the proposal (`electronics`, `drives`) and data of the parts.

    Args:
        controller: Its part.
        devices: Devices that it commands.
        loads: Loads without a driver channel whose signals it takes.
        module_zone: Zone of its module.
        settings: Settings of the proposal.
    """
    needs: Counter[str] = Counter()
    unknown: list[str] = []
    serial = False
    needs[DEBUG if _has_debug_pins(controller) else "gpio"] += settings.electronics.crystal_debug_pins
    for name, part, placed in devices:
        if not _add_device(part, placed, needs):
            unknown.append(name)
        serial = serial or part.serial_bus
    for load in loads:
        function, count = load_needs(load, module_zone, settings)
        needs[function] += count
        serial = serial or _hangs_on_bus(load, module_zone, settings)
    if serial:
        needs["spi"] += settings.electronics.spi_pins
    return Needs(+needs, tuple(unknown))


def pins_by_controller(
    module: Module,
    parts: Mapping[str, Part],
    device_loads: Mapping[str, Sequence[Load]],
    module_loads: Sequence[Load],
    settings: Settings,
) -> tuple[tuple[ControllerPins, ...], tuple[str, ...]]:
    """Match a module's pins controller by controller.

    A device takes pins of the controller that it names, and of the only one where it names none. With several
    controllers a load on a serial bus goes, select line and bus together, to the first one in natural order that can
    take it, those with a serial bus before the others; every other signal of a load goes to one controller that has a
    pin left.

    Args:
        module: The module.
        parts: Parts by catalog key.
        device_loads: Per reference, the loads on channels of that device, each once.
        module_loads: All loads of the module, each once; those on a channel are the same objects as in `device_loads`.
        settings: Settings of the proposal.

    Returns:
        Controllers in natural order, then the signals without one where there are any; and what is not known.
    """
    controllers = _controllers(module, parts)
    owned: dict[str, list[Commanded]] = {ref: [] for ref in controllers}
    stray, unknown = _share_out(module, parts, device_loads, owned)
    signals = _signals(module, device_loads, module_loads, settings)
    taken: dict[str, list[Load]] = {ref: [] for ref in controllers}
    if len(controllers) == 1:
        taken = dict.fromkeys(controllers, signals)
        signals = []
    elif controllers:
        serial = [load for load in signals if _hangs_on_bus(load, module.zone, settings)]
        signals = [load for load in signals if not _hangs_on_bus(load, module.zone, settings)]
        for load in sorted(serial, key=lambda load: load_needs(load, module.zone, settings)):
            taken[_serial_home(load, controllers, owned, taken, module.zone, settings)].append(load)
    entries = []
    for ref, part in controllers.items():
        needs, unsure = controller_needs(part, owned[ref], taken[ref], module.zone, settings)
        unknown.extend(unsure)
        if not part.pin_groups:
            unknown.append(_name(ref, module.devices[ref].part))
        entries.append(ControllerPins(ref, needs, _pin_total(part), _short(needs, part)))
    free: Counter[str] = Counter()
    for device in stray:
        _add_device(device.part, device.loads, free)
    for load in signals:
        function, count = load_needs(load, module.zone, settings)
        free[function] += count
    free = +free
    if free:
        own = [(entry.needs, controllers[entry.ref]) for entry in entries]
        entries.append(ControllerPins("", free, None, _short_beside(free, own)))
    return tuple(entries), tuple(sorted(set(unknown), key=natural_key))


def module_pins(
    module: Module,
    parts: Mapping[str, Part],
    device_loads: Mapping[str, Sequence[Load]],
    module_loads: Sequence[Load],
    settings: Settings,
) -> PinUse:
    """Count and match the controller pins of a module; for the arguments see `pins_by_controller`.

    With one controller, what a set of functions has is what it needs less what it is short. With several, needs and
    shortages of all are added, and `pins_by_controller` has them apart. Where something is unknown, needs are at least
    what is said, and what is short is short in any case.
    """
    entries, unknown = pins_by_controller(module, parts, device_loads, module_loads, settings)
    needs: Counter[str] = Counter()
    short: Counter[str] = Counter()
    for entry in entries:
        needs.update(entry.needs)
        short.update(entry.short)
    plain = plain_count(module, parts, module_loads, settings)
    counted = [_general_pins(part) for part in _controllers(module, parts).values()]
    return PinUse(
        used=sum(needs.values()),
        total=sum(entry.total for entry in entries if entry.total is not None),
        plain_used=plain.used,
        plain_total=sum(count for count in counted if count is not None),
        analog_used=plain.analog,
        needs=dict(sorted(needs.items(), key=_by_functions)),
        short=dict(sorted(short.items(), key=_by_functions)),
        unknown=unknown,
    )


def _add_device(part: Part, loads: Sequence[Load], needs: Counter[str]) -> bool:
    """Add the pins that one device needs and tell whether they are all; see `device_needs`."""
    known = needs_known(part)
    for function, count in part.pin_needs.items():
        if count < 0 or (function != CHANNEL and function not in PIN_FUNCTIONS):
            known = False
        elif function == CHANNEL:
            pwm = min(count, sum([load.pwm_frequency_hz is not None for load in loads]))
            needs["pwm"] += pwm
            needs["gpio"] += count - pwm
        else:
            needs[function] += count
    return known


def _by_functions(entry: tuple[str, int]) -> tuple[int, list[int]]:
    """Sort key: fewest functions first, in their own order."""
    places = [PIN_FUNCTIONS.index(function) for function in entry[0].split("+")]
    return len(places), places


def _name(ref: str, part: str) -> str:
    return f"{ref} ({part})"


def _has_debug_pins(controller: Part) -> bool:
    return any(DEBUG in group.functions for group in controller.pin_groups.values())


def _pin_total(part: Part) -> int | None:
    """Pins of a controller, those only for crystal and debugger included."""
    return sum(group.pins for group in part.pin_groups.values()) if part.pin_groups else part.gpio_pins


def _general_pins(part: Part) -> int | None:
    """Pins of a controller by its own count, or those of its groups that can do more than crystal and debugger."""
    if part.gpio_pins is not None or not part.pin_groups:
        return part.gpio_pins
    return sum(group.pins for group in part.pin_groups.values() if group.functions != (DEBUG,))


def _asks_for_pins(habit: DriveHabit) -> bool:
    return bool(habit.pins or habit.pins_per_contact or habit.on_serial_bus)


def _hangs_on_bus(load: Load, module_zone: str, settings: Settings) -> bool:
    habit = settings.habit(load.drive)
    return habit.on_serial_bus and not (habit.only_from_other_zone and is_in(load, module_zone))


def _controllers(module: Module, parts: Mapping[str, Part]) -> dict[str, Part]:
    """Controllers of a module by reference, in natural order."""
    placed = [(ref, parts.get(device.part)) for ref, device in module.devices.items()]
    found = {ref: part for ref, part in placed if part is not None and part.kind == CONTROLLER}
    return {ref: found[ref] for ref in sorted(found, key=natural_key)}


def _share_out(
    module: Module,
    parts: Mapping[str, Part],
    device_loads: Mapping[str, Sequence[Load]],
    owned: dict[str, list[Commanded]],
) -> tuple[list[Commanded], list[str]]:
    """Give each device to the controller in `owned` that commands it; return devices without one, and what is unknown.

    A link between two controllers takes pins at both ends. A part counted without a reference is commanded like a
    device that names no controller.
    """
    stray: list[Commanded] = []
    unknown: list[str] = []
    only = next(iter(owned)) if len(owned) == 1 else ""
    pieces = [
        (_name(ref, device.part), ref, device.part, device.commanded_by, 1) for ref, device in module.devices.items()
    ]
    pieces += [(key, "", key, "", whole_pieces(item.quantity.quantity)) for key, item in module.items.items()]
    for name, ref, key, commander, count in pieces:
        part = parts.get(key)
        if part is None:
            unknown.append(name)
            continue
        if (ref in owned and commander in ("", ref)) or (part.kind in NO_PIN_KINDS and not part.pin_needs):
            continue
        device = Commanded(name, part, device_loads.get(ref, ()))
        if ref in owned:
            owned[ref].append(device)
        home = owned.get(commander or only)
        if home is not None:
            home.extend([device] * count)
            continue
        needs, known = device_needs(part, device.loads)
        stray.extend([device] * count)
        if not known or (owned and needs):
            unknown.append(name)
    return stray, unknown


def _signals(
    module: Module, device_loads: Mapping[str, Sequence[Load]], module_loads: Sequence[Load], settings: Settings
) -> list[Load]:
    """Return the loads that ask for pins of their own: by their drive code, and on no device of the module."""
    codes = {load.drive for load in module_loads}
    silent = {code for code in codes if not _asks_for_pins(settings.habit(code))}

    def asking(loads: Iterable[Load]) -> list[Load]:
        return [
            load
            for load in loads
            if load.drive not in silent
            and (load_needs(load, module.zone, settings)[1] or _hangs_on_bus(load, module.zone, settings))
        ]

    placed = [load for ref, loads in device_loads.items() if ref in module.devices for load in asking(loads)]
    return [load for load in asking(module_loads) if not any(load is other for other in placed)]


def _serial_home(
    load: Load,
    controllers: Mapping[str, Part],
    owned: Mapping[str, Sequence[Commanded]],
    taken: Mapping[str, Sequence[Load]],
    module_zone: str,
    settings: Settings,
) -> str:
    """Choose the controller of a load on a serial bus: the first that can take it, else the first."""
    refs = sorted(
        controllers,
        key=lambda ref: (not (taken[ref] or any(device.part.serial_bus for device in owned[ref])), natural_key(ref)),
    )
    for ref in refs:
        needs = controller_needs(controllers[ref], owned[ref], [*taken[ref], load], module_zone, settings).by_function
        if not _short(needs, controllers[ref]):
            return ref
    return refs[0]


def _named(functions: Sequence[str], sets: Mapping[int, int]) -> dict[str, int]:
    return {
        "+".join(function for index, function in enumerate(functions) if members >> index & 1): missing
        for members, missing in sets.items()
    }


def _capacities(part: Part, functions: Sequence[str], enough: int) -> list[int]:
    """Return how many pins of a controller can do one of a set of functions, per set (bit i stands for function i).

    Where its pin groups are not known these are upper bounds from its counts of pins, `enough` where not even those are
    known: a set that lacks pins by them lacks them in any case.
    """
    if part.pin_groups:
        return _group_capacities(functions, part.pin_groups)
    counted = {"pwm": part.pwm_pins, "adc": part.adc_pins, "capture": part.capture_pins}
    whole = enough if part.gpio_pins is None else part.gpio_pins
    single = [whole if (count := counted.get(function)) is None else count for function in functions]
    return [
        min(whole, sum(count for index, count in enumerate(single) if members >> index & 1))
        for members in range(1 << len(functions))
    ]


def _group_capacities(functions: Sequence[str], groups: Mapping[str, PinGroup]) -> list[int]:
    able = [
        (sum(1 << index for index, function in enumerate(functions) if function in group.functions), group.pins)
        for group in groups.values()
    ]
    return [sum(pins for mask, pins in able if mask & members) for members in range(1 << len(functions))]


def _short(needs: Counter[str], part: Part) -> dict[str, int]:
    """Return what a controller misses for its own needs."""
    if part.pin_groups:
        return match_pins(needs, part.pin_groups).short
    functions = [function for function in PIN_FUNCTIONS if function in needs]
    capacities = _capacities(part, functions, needs.total())
    return _named(functions, deficient_sets([needs[function] for function in functions], capacities))


def _short_beside(free: Counter[str], own: Sequence[tuple[Counter[str], Part]]) -> dict[str, int]:
    """Return what free signals miss on controllers that serve their own needs first.

    On one controller with capacity c and own needs d, a set F of functions can use the least of c(F + G) - d(G) over
    all sets G, less the same for an empty F (contraction of a polymatroid; derived here). The controllers' shares add,
    as each signal may go to any of them.
    """
    if any(not _short(needs + free, part) for needs, part in own):
        return {}
    involved = free.keys() | {function for needs, _ in own for function in needs}
    functions = [function for function in PIN_FUNCTIONS if function in involved]
    sets = range(1 << len(functions))
    left = [0] * len(sets)
    for needs, part in own:
        capacities = _capacities(part, functions, (needs + free).total())
        used = [sum(needs[name] for index, name in enumerate(functions) if members >> index & 1) for members in sets]
        least = [min(capacities[wanted | members] - used[members] for members in sets) for wanted in sets]
        left = [before + now - least[0] for before, now in zip(left, least, strict=True)]
    return _named(functions, deficient_sets([free[function] for function in functions], left))
