"""Controller pins: needs by function, the matching, and the plain count."""

from collections import Counter
from decimal import Decimal

import pytest

from bomtui.engine.pins import (
    NO_PIN_KINDS,
    Commanded,
    controller_needs,
    device_needs,
    match_pins,
    module_pins,
    pins_by_controller,
)
from bomtui.engine.plain_pins import plain_count
from bomtui.model.load import Load
from bomtui.model.part import PART_KINDS, Part, PinGroup
from bomtui.model.rollup import PinUse
from bomtui.model.settings import DriveHabit, Electronics, Settings
from bomtui.model.variant import Amount, Device, Item, Module

SETTINGS = Settings()
BARE = Settings(electronics=Electronics(spi_pins=3, crystal_debug_pins=0))


def pin_groups(**groups: tuple[int, str]) -> dict[str, PinGroup]:
    """Pin groups from counts and functions divided by blanks."""
    return {name: PinGroup(pins=pins, functions=tuple(text.split())) for name, (pins, text) in groups.items()}


# 48 pins on the package, 38 for signals: 12 of them PWM, 14 analog, 4 capture.
MCU_48 = Part(
    kind="controller",
    gpio_pins=38,
    pin_groups=pin_groups(
        A=(4, "gpio pwm capture"), B=(8, "gpio pwm"), C=(14, "gpio adc"), D=(4, "gpio can lin"), E=(8, "gpio spi")
    ),
)
MCU_SMALL = Part(kind="controller", gpio_pins=6, pin_groups=pin_groups(A=(2, "gpio adc spi"), B=(4, "gpio spi")))
HIGH_SIDE = Part(kind="high_side", control_pins=4, analog_pins=1, pin_needs={"channel": 4, "adc": 1}, channels=4)
MEMORY = Part(kind="memory", control_pins=4, pin_needs={"gpio": 1}, serial_bus=True)
SBC = Part(kind="sbc", pin_needs={"can": 2, "gpio": 2}, serial_bus=True)
FET = Part(kind="fet")
PARTS = {
    "mcu-48": MCU_48, "mcu-s": MCU_SMALL, "hs-4": HIGH_SIDE, "ee": MEMORY, "sbc": SBC, "fet": FET,
    "misc": Part(kind="passive"), "open": Part(kind="high_side", control_pins=2),
}  # fmt: skip


def load(drive: str = "HS", pwm_frequency_hz: float | None = None, zone: str = "Z1", contacts: int = 1) -> Load:
    """A load with what pins depend on."""
    return Load(subsystem="S", drive=drive, pwm_frequency_hz=pwm_frequency_hz, zone=zone, contacts=contacts)


def module(items: dict[str, Decimal] | None = None, **devices: str) -> Module:
    """A module in zone Z1 from references and parts; `hs-4@U2` is commanded by U2."""
    placed = {}
    for ref, text in devices.items():
        part, _, commander = text.partition("@")
        placed[ref] = Device(part=part, commanded_by=commander)
    counted = {key: Item(quantity=Amount(quantity=quantity)) for key, quantity in (items or {}).items()}
    return Module(zone="Z1", devices=placed, items=counted)


@pytest.mark.parametrize(
    ("needs", "short"),
    [
        ({}, {}),
        ({"pwm": 0, "lin": 0}, {}),
        ({"pwm": 12, "adc": 14, "gpio": 12}, {}),
        ({"pwm": 13}, {"pwm": 1}),
        ({"eth": 2}, {"eth": 2}),
        # PWM takes what capture needs, though each alone fits.
        ({"pwm": 10, "capture": 3}, {"pwm+capture": 1}),
        ({"can": 3, "lin": 4}, {"can+lin": 3}),
        ({"gpio": 39}, {"gpio": 1}),
        # All pins are gone: no single function and no pair is to blame.
        ({"gpio": 13, "pwm": 12, "adc": 14}, {"gpio+pwm+adc": 1}),
        ({"pwm": 14, "can": 6, "adc": 14}, {"pwm": 2, "can": 2}),
    ],
)
def test_matching_names_what_is_short(needs: dict[str, int], short: dict[str, int]) -> None:
    """The smallest functions or joined functions that do not fit are named with the pins they miss."""
    match = match_pins(needs, MCU_48.pin_groups)
    assert match.short == short
    assert match.served == sum(needs.values()) - sum(short.values())


def test_a_larger_set_is_named_only_for_what_the_smaller_leaves_open() -> None:
    """A set with a violated part is named too where it misses more than that part, each figure being its own."""
    groups = pin_groups(A=(12, "pwm"), B=(2, "pwm adc"), C=(3, "gpio"))
    assert match_pins({"pwm": 15, "adc": 2, "gpio": 4}, groups) == ({"gpio": 1, "pwm": 1, "pwm+adc": 3}, 17)


def test_needs_that_are_no_pin_function_are_refused() -> None:
    """A word that no pin function is, and a count below zero, are refused with what was found."""
    with pytest.raises(ValueError, match="uart is no pin function; expected are gpio, pwm"):
        match_pins({"uart": 1}, MCU_48.pin_groups)
    with pytest.raises(ValueError, match="zero or more"):
        match_pins({"pwm": -1}, MCU_48.pin_groups)


def test_thirteen_pwm_loads_on_twelve_pwm_pins() -> None:
    """Thirteen PWM loads are refused with one PWM pin short although twenty pins are spare."""
    place = module(U1="mcu-48", U2="hs-4", U3="hs-4", U4="hs-4", U5="hs-4")
    drivers = {"hs-4": Part(kind="high_side", pin_needs={"channel": 4}, channels=4)}
    pwm = [load("HSP", 120.0) for _ in range(13)]
    plain = [load()]
    placed = {"U2": pwm[:4], "U3": pwm[4:8], "U4": pwm[8:12], "U5": [pwm[12], *plain]}
    use = module_pins(place, PARTS | drivers, placed, [*pwm, *plain], BARE)
    assert use.needs == {"gpio": 3, "pwm": 13}
    assert use.short == {"pwm": 1}
    assert use.needs["pwm"] - use.short["pwm"] == 12
    assert use.total - use.used >= 20
    fewer = module_pins(place, PARTS | drivers, placed | {"U5": plain}, [*pwm[:12], *plain], BARE)
    assert fewer.short == {}


@pytest.mark.parametrize(
    ("pwm_loads", "needs"),
    [(0, {"gpio": 4, "adc": 1}), (3, {"gpio": 1, "pwm": 3, "adc": 1}), (6, {"pwm": 4, "adc": 1})],
)
def test_channel_inputs_take_pwm_for_pwm_loads(pwm_loads: int, needs: dict[str, int]) -> None:
    """Each load with a PWM turns one channel input into a PWM pin, never more than there are inputs."""
    loads = [load(), *(load("HSP", 100.0) for _ in range(pwm_loads))]
    assert device_needs(HIGH_SIDE, loads) == (Counter(needs), True)


@pytest.mark.parametrize(
    ("part", "known"),
    [
        (Part(kind="high_side"), False),
        (Part(kind="high_side", control_pins=2), False),
        (Part(kind="sbc"), False),
        (Part(kind="memory", control_pins=0), True),
        (Part(kind="high_side", control_pins=0, analog_pins=1), False),
        (Part(kind="memory", pin_needs={"gpio": 0}), True),
        (Part(kind="memory", pin_needs={"uart": 2}), False),
        (Part(kind="memory", pin_needs={"gpio": -2}), False),
        (FET, True),
    ],
)
def test_absent_pin_needs_are_unknown(part: Part, *, known: bool) -> None:
    """A part that does not say its needs is unknown unless its kind has none or it is said to have no pins."""
    assert device_needs(part, []) == (Counter(), known)


def test_kinds_without_pins_are_kinds() -> None:
    """Only lawful part kinds are declared to need no pins, and none that drives loads or talks."""
    assert set(PART_KINDS) >= NO_PIN_KINDS
    assert not NO_PIN_KINDS & {"controller", "high_side", "sbc", "sensor", "memory", "transceiver_can"}


def test_pins_only_for_crystal_and_debugger_spare_general_ones() -> None:
    """A controller with pins of their own for crystal and debugger keeps its general pins free."""
    own = Part(kind="controller", gpio_pins=2, pin_groups=pin_groups(A=(2, "gpio"), B=(4, "debug")))
    needs = controller_needs(own, [], [], "Z1", SETTINGS).by_function
    assert needs == {"debug": 4}
    assert match_pins(needs, own.pin_groups).short == {}
    assert controller_needs(MCU_48, [], [], "Z1", SETTINGS).by_function == {"gpio": 4}


def test_serial_bus_crystal_and_debugger_count_once() -> None:
    """Any number of serial parts and loads share one SPI, and a controller has one crystal and one debugger."""
    devices = [Commanded("U2", MEMORY, ()), Commanded("U3", SBC, ())]
    remote = [load("SPI", zone="Z2"), load("SPI", zone="Z3")]
    assert controller_needs(MCU_48, [], [], "Z1", SETTINGS) == ({"gpio": 4}, ())
    assert controller_needs(MCU_48, devices, [], "Z1", SETTINGS) == ({"gpio": 7, "can": 2, "spi": 3}, ())
    assert controller_needs(MCU_48, devices, remote, "Z1", SETTINGS) == ({"gpio": 9, "can": 2, "spi": 3}, ())
    assert controller_needs(MCU_48, [], remote[:1], "Z1", SETTINGS) == ({"gpio": 5, "spi": 3}, ())


def test_loads_without_a_channel_need_pins_by_their_drive_code() -> None:
    """Analog, switch, frequency, SENT and serial inputs count by habit; LIN and driven loads need none of their own."""
    loads = [load("AI"), load("DI", contacts=5), load("FI"), load("SENT"), load("LIN"), load("RF"), load("HS")]
    assert controller_needs(MCU_48, [], loads, "Z1", BARE).by_function == {"adc": 1, "gpio": 5, "capture": 3}


@pytest.mark.parametrize(
    ("load_zone", "module_zone", "needs"),
    [("Z1", "Z1", {}), ("Z2", "Z1", {"gpio": 1, "spi": 3}), ("", "", {"gpio": 1, "spi": 3})],
)
def test_serial_sensors_need_pins_only_outside_the_zone(
    load_zone: str, module_zone: str, needs: dict[str, int]
) -> None:
    """A serial sensor in the module's own zone needs nothing more; an unknown zone is not taken for the same."""
    assert controller_needs(MCU_48, [], [load("SPI", zone=load_zone)], module_zone, BARE).by_function == needs


def test_a_habit_of_the_proposal_replaces_that_of_the_trade() -> None:
    """Pins per load follow the proposal's own habits."""
    own = Settings(
        electronics=Electronics(crystal_debug_pins=1), drives={"DI": DriveHabit(function="adc", pins_per_contact=2)}
    )
    assert controller_needs(MCU_48, [], [load("DI", contacts=3)], "Z1", own).by_function == {"gpio": 1, "adc": 6}


def test_one_controller_commands_all() -> None:
    """With one controller a device that names none hangs on it, and everything known is counted once."""
    pwm = load("HSP", 100.0)
    loads = [pwm, load("AI"), load("DI", contacts=2)]
    place = module(U1="mcu-48", U2="hs-4", U3="ee", U4="sbc@U1", Q1="fet", items={"misc": Decimal("3.5")})
    use = module_pins(place, PARTS, {"U2": [pwm]}, loads, SETTINGS)
    assert use == PinUse(
        used=20, total=38, plain_used=12, plain_total=38, analog_used=2,
        needs={"gpio": 12, "pwm": 1, "adc": 2, "can": 2, "spi": 3}, short={}, unknown=(),
    )  # fmt: skip


def test_a_load_on_a_channel_needs_no_pin_of_its_own() -> None:
    """An input that hangs on a device is counted with the device; on a device that is not there it is not."""
    analog = load("AI")
    place = module(U1="mcu-48", U2="ee")
    assert module_pins(place, PARTS, {"U2": [analog]}, [analog], BARE).needs == {"gpio": 1, "spi": 3}
    assert module_pins(place, PARTS, {"U9": [analog]}, [analog], BARE).needs == {"gpio": 1, "adc": 1, "spi": 3}
    twin = load("AI")
    assert module_pins(place, PARTS, {"U2": [analog]}, [analog, twin], BARE).needs == {"gpio": 1, "adc": 1, "spi": 3}


def test_what_is_not_known_is_named() -> None:
    """Parts without needs, missing parts, controllers without groups, and devices of no controller are named."""
    place = module(
        U1="mcu-48", U2="open", U10="gone", U3="hs-4@U7", U4="hs-4@U2", items={"open": Decimal(2), "lost": Decimal(1)}
    )
    use = module_pins(place, PARTS, {}, [], BARE)
    assert use.unknown == ("lost", "open", "U2 (open)", "U3 (hs-4)", "U4 (hs-4)", "U10 (gone)")
    assert use.needs == {"gpio": 8, "adc": 2}
    assert use.short == {}


def test_a_part_counted_without_a_reference_takes_its_pins() -> None:
    """Two memories counted as an item need two select lines and one bus."""
    assert module_pins(module(U1="mcu-48", items={"ee": Decimal(2)}), PARTS, {}, [], BARE) == PinUse(
        used=5, total=38, plain_used=8, plain_total=38, analog_used=0, needs={"gpio": 2, "spi": 3}, short={}
    )


def test_without_a_controller_everything_is_short() -> None:
    """A module without a controller lacks all pins that it needs, and one that needs none lacks none."""
    use = module_pins(module(U2="hs-4", U3="fet"), PARTS, {}, [load("AI")], SETTINGS)
    assert (use.used, use.total, use.plain_total) == (6, 0, 0)
    assert use.short == use.needs == {"gpio": 4, "adc": 2}
    assert use.unknown == ()
    assert module_pins(module(U3="fet"), PARTS, {}, [load("HS")], SETTINGS).short == {}


def test_pins_of_a_controller_without_groups_are_unknown_but_bounded() -> None:
    """Without pin groups nothing is said to fit, yet what the counts of pins forbid is short in any case."""
    bare = {"mcu": Part(kind="controller", gpio_pins=10, pwm_pins=2, adc_pins=3)}
    place = module(U1="mcu", U2="hs-4")
    pwm = [load("HSP", 100.0) for _ in range(4)]
    use = module_pins(place, PARTS | bare, {"U2": pwm}, pwm, BARE)
    assert (use.total, use.short, use.unknown) == (10, {"pwm": 2}, ("U1 (mcu)",))
    many = module_pins(place, PARTS | bare, {"U2": pwm[:2]}, [*pwm[:2], load("DI", contacts=6)], BARE)
    assert many.short == {"gpio+pwm+adc": 1}
    few = module_pins(place, PARTS | bare, {"U2": pwm[:2]}, pwm[:2], BARE)
    assert (few.short, few.unknown) == ({}, ("U1 (mcu)",))
    nothing = module_pins(place, PARTS | {"mcu": Part(kind="controller")}, {"U2": pwm}, pwm, BARE)
    assert (nothing.total, nothing.short, nothing.unknown) == (0, {}, ("U1 (mcu)",))


def test_a_device_uses_the_pins_of_its_own_controller_only() -> None:
    """Pins of a second controller do not help a device that the first one commands."""
    pwm = [load("HSP", 100.0) for _ in range(2)]
    place = module(U1="mcu-s", U2="mcu-48", U3="hs-4@U1")
    use = module_pins(place, PARTS, {"U3": pwm}, pwm, BARE)
    assert (use.total, use.short) == (44, {"pwm": 2})
    other = module(U1="mcu-s", U2="mcu-48", U3="hs-4@U2")
    assert module_pins(other, PARTS, {"U3": pwm}, pwm, BARE).short == {}


def test_signals_of_loads_go_where_pins_are_left() -> None:
    """Inputs may be spread over controllers, each on one; what finds no pin on any of them is named apart."""
    place = module(U1="mcu-s", U2="mcu-s", U3="ee@U1", U4="ee@U2")
    inputs = [load("AI") for _ in range(4)]
    assert module_pins(place, PARTS, {}, inputs, BARE).short == {}
    switches = [*inputs, load("DI")]
    entries, _ = pins_by_controller(place, PARTS, {}, switches, BARE)
    assert [(entry.ref, entry.total, entry.short) for entry in entries] == [
        ("U1", 6, {}), ("U2", 6, {}), ("", None, {"gpio+adc": 1}),
    ]  # fmt: skip
    assert module_pins(place, PARTS, {}, [load("AI") for _ in range(5)], BARE).short == {"adc": 1}


def test_a_serial_load_has_select_and_bus_on_one_controller() -> None:
    """With several controllers a serial load goes where there is a bus already, else to the first that can take it."""
    remote = load("SPI", zone="Z2")
    place = module(U1="mcu-48", U2="mcu-s", U3="ee@U2")
    entries, _ = pins_by_controller(place, PARTS, {}, [remote], BARE)
    assert [(entry.ref, dict(entry.needs)) for entry in entries] == [("U1", {}), ("U2", {"gpio": 2, "spi": 3})]
    full = module(U1="mcu-48", U2="mcu-s", U3="ee@U2", U4="hs-4@U2")
    entries, _ = pins_by_controller(full, PARTS, {}, [remote], BARE)
    assert [(entry.ref, entry.needs["spi"]) for entry in entries] == [("U1", 3), ("U2", 3)]
    none = module(U1="mcu-s", U2="mcu-48")
    entries, _ = pins_by_controller(none, PARTS, {}, [remote, load("SPI", zone="Z3")], BARE)
    assert [(entry.ref, entry.needs["spi"]) for entry in entries] == [("U1", 3), ("U2", 0)]


def test_with_several_controllers_a_device_must_name_its_own() -> None:
    """A device that names none of several controllers is unknown; its needs count, and are short if all are full."""
    place = module(U1="mcu-s", U2="mcu-s", U3="hs-4", Q1="fet")
    use = module_pins(place, PARTS, {}, [], BARE)
    assert (use.needs, use.short, use.unknown) == ({"gpio": 4, "adc": 1}, {}, ("U3 (hs-4)",))
    full = module_pins(place, PARTS, {}, [load("AI") for _ in range(4)], BARE)
    assert (full.short, full.unknown) == ({"adc": 1}, ("U3 (hs-4)",))


def test_a_link_between_controllers_takes_pins_at_both_ends() -> None:
    """A controller commanded by another needs what it says on both, and is unknown where it says nothing."""
    linked = {"cpu": Part(kind="controller", pin_groups=pin_groups(A=(9, "gpio spi")), pin_needs={"gpio": 3})}
    entries, unknown = pins_by_controller(module(U1="mcu-48", U2="cpu@U1"), PARTS | linked, {}, [], BARE)
    assert [(entry.ref, dict(entry.needs)) for entry in entries] == [("U1", {"gpio": 3}), ("U2", {"gpio": 3})]
    assert unknown == ()
    assert pins_by_controller(module(U1="mcu-48", U2="mcu-s@U1"), PARTS, {}, [], BARE)[1] == ("U2 (mcu-s)",)


def test_plain_count() -> None:
    """Control pins but of sensors, analog pins, contacts, captures, LIN and remote serial sensors add up."""
    sensor = {"tilt": Part(kind="sensor", control_pins=5, analog_pins=1)}
    place = module(U1="mcu-48", U2="hs-4", U3="ee", U4="sbc", U5="tilt", U6="gone")
    loads = [load("AI"), load("DI", contacts=5), load("FI"), load("SENT"), load("LIN"), load("SPI"), load("HS")]
    remote = load("SPI", zone="Z2")
    assert plain_count(place, PARTS | sensor, loads, SETTINGS) == (4 + 4 + 1 + 1 + 1 + 5 + 1 + 2 + 3, 3)
    assert plain_count(place, PARTS | sensor, [*loads, remote], SETTINGS) == (22 + 4, 3)


def test_order_and_names_change_nothing() -> None:
    """References in another order and under other names give the same counts."""
    loads = [load("AI"), load("DI", contacts=2), load("SPI", zone="Z2"), load("SENT")]
    first = module_pins(module(U1="mcu-s", U2="mcu-48", U3="ee@U2", U4="hs-4@U2"), PARTS, {}, loads, SETTINGS)
    other = module_pins(module(B="hs-4@C", A="ee@C", C="mcu-48", D="mcu-s"), PARTS, {}, loads[::-1], SETTINGS)
    assert first == other
