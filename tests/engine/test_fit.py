"""Whether a load fits the channels that it is given."""

from typing import Any

import pytest

from bomtui.engine.fit import CHECKS, NO_SIDE, Check, Comparison, Given, compare, meets_supply, misfits
from bomtui.model.bound import Range, Value
from bomtui.model.load import DRIVE_CODES, Load
from bomtui.model.part import DRIVER_KINDS, PART_KINDS, Part, SupplyNeed
from bomtui.model.settings import DriveHabit, Settings
from bomtui.model.variant import Device

SETTINGS = Settings()
SWITCH_DATA: dict[str, Any] = {
    "kind": "high_side",
    "channels": 2,
    "sides": ("HS", "HSP"),
    "nets": ("12", "24"),
    "current_all_a": 5.0,
    "pwm_max_hz": 200.0,
    "safety": "B",
    "parallel_ok": True,
}
SWITCH = Part(**SWITCH_DATA)


def load(drive: str = "HS", **fields: Any) -> Load:  # noqa: ANN401 - fields of a load
    """A load of one drive code."""
    return Load(subsystem="S", drive=drive, **fields)


def given(part: Part | None = SWITCH, channels: int | None = 1, **fields: Any) -> Given:  # noqa: ANN401 - what is given
    """One channel in a 24 V vehicle, 2 A on it."""
    return Given(part, channels, **{"supply": "24 V", "current_a": 2.0, **fields})


def part(**fields: Any) -> Part:  # noqa: ANN401 - fields of a part
    """The switch with other data."""
    return Part(**{**SWITCH_DATA, **fields})


def asked(check: Check, own: Load, what: Given) -> Comparison | None:
    """One check at the trade's habits."""
    return compare(check, own, what, SETTINGS)


def fits(check: Check, own: Load, what: Given) -> bool | None:
    """What a check that is asked says."""
    found = asked(check, own, what)
    assert found is not None
    return found.fits


def test_a_load_that_fits() -> None:
    """A load on enough channels of a part that suits it has no misfit."""
    assert misfits(load("HSP", pwm_frequency_hz=100.0, safety="B"), given(), SETTINGS) == ()


def test_the_wrong_side() -> None:
    """A part that does not drive the load says what it drives instead."""
    assert misfits(load("LS"), given(), SETTINGS) == (Comparison("side", "HS HSP", "LS", fits=False),)


def test_too_few_channels_and_the_wrong_side() -> None:
    """Everything that does not fit is said at once."""
    assert misfits(load("FB"), given(), SETTINGS) == (
        Comparison("channels", 1, 2, fits=False),
        Comparison("side", "HS HSP", "FB", fits=False),
    )


@pytest.mark.parametrize("number", [0, 1, 2, 3, 4, 5])
@pytest.mark.parametrize("drive", DRIVE_CODES)
def test_channels_of_every_drive_code(drive: str, number: int) -> None:
    """A load lacks channels exactly where it is given fewer than its drive code needs."""
    needed = SETTINGS.habit(drive).channels
    found = compare("channels", load(drive), given(channels=number), SETTINGS)
    assert found == (Comparison("channels", number, needed, fits=number >= needed) if needed else None)


def test_a_device_named_without_a_channel_leaves_the_channels_undecided() -> None:
    """Where it is not known on how many channels a load is, nobody says that they suffice."""
    assert asked("channels", load(), given(channels=None)) == Comparison("channels", None, 1, None)


def test_channels_are_a_setting() -> None:
    """The proposal's own habit decides how many channels a drive code needs."""
    own = Settings(drives={"HS": DriveHabit(channels=2)})
    assert misfits(load(), given(), own) == (Comparison("channels", 1, 2, fits=False),)


def test_without_a_channel_nothing_else_is_asked() -> None:
    """A load that is given no channel lacks channels, and nothing is said of a side that it does not use."""
    assert misfits(load("LS"), given(channels=0), SETTINGS) == (Comparison("channels", 0, 1, fits=False),)


@pytest.mark.parametrize("drive", [drive for drive in DRIVE_CODES if not SETTINGS.habit(drive).channels])
def test_what_needs_no_channel_is_compared_with_none(drive: str) -> None:
    """A sensor or display that a module serves without channels has no misfit with any."""
    assert misfits(load(drive, diagnosis=("open",)), given(channels=0), SETTINGS) == ()


@pytest.mark.parametrize("kind", PART_KINDS)
def test_a_part_without_sides(kind: str) -> None:
    """A driver that names no side may drive the load or not; any other part drives nothing."""
    found = asked("side", load(), given(Part(kind=kind)))
    if kind in DRIVER_KINDS:
        assert found == Comparison("side", None, "HS", None)
    else:
        assert found == Comparison("side", NO_SIDE, "HS", fits=False)


def test_an_unknown_part() -> None:
    """Nothing certain is said of a part that nobody knows, and one thing uncertain."""
    assert misfits(load(), given(None), SETTINGS) == (Comparison("side", None, "HS", None),)


@pytest.mark.parametrize(
    ("nets", "supply", "expected"),
    [(("24",), "24 V", True), (("12",), "24 V", False), ((), "24 V", None), (("12", "24"), None, None)],
)
def test_supply_class(nets: tuple[str, ...], supply: str | None, expected: bool | None) -> None:
    """A part serves the vehicle supplies that it names; where either is unknown nobody says so."""
    assert fits("supply", load(), given(part(nets=nets), supply=supply)) is expected


def test_supply_is_asked_on_the_battery_only() -> None:
    """What hangs on a rail, and an amplifier, does not meet the vehicle's supply."""
    assert asked("supply", load(), given(part(nets=("12",)), on_battery=False)) is None
    assert asked("supply", load("AMP"), given(Part(kind="amplifier", sides=("AMP",)))) is None


def test_what_meets_the_supply() -> None:
    """A device meets the battery by an input that is wired to it, or that would be; what is wired to rails does not."""
    own = Part(kind="high_side", supplies={"main": SupplyNeed(), "logic": SupplyNeed(voltage_v=5.0)})
    logic = Part(kind="half_bridge", supplies={"main": SupplyNeed(voltage_v=12.0)})
    assert meets_supply(own) is True
    assert meets_supply(own, Device(part="own", supply={"main": "battery", "logic": "V5"})) is True
    assert meets_supply(own, Device(part="own", supply={"main": "V12", "logic": "V5"})) is False
    assert meets_supply(logic) is False
    assert meets_supply(logic, Device(part="logic", supply={"main": "battery"})) is True
    assert meets_supply(Part(kind="fet")) is True


@pytest.mark.parametrize(
    ("current_a", "rated_a", "expected"),
    [
        (5.0, 5.0, True),
        (5.000001, 5.0, False),
        (None, 5.0, None),
        (2.0, None, None),
        (Range(0.0, 4.0, frozenset(("share",))), 5.0, True),
        (Range(4.0, 6.0, frozenset(("share",))), 5.0, None),
        (Range(6.0, 7.0, frozenset(("share",))), 5.0, False),
    ],
)
def test_current(current_a: Value, rated_a: float | None, expected: bool | None) -> None:
    """A channel carries up to its rating, the rating included; what is unknown decides nothing."""
    what = given(part(current_all_a=rated_a), current_a=current_a)
    assert asked("current", load(), what) == Comparison("current", current_a, rated_a, expected, "A")


@pytest.mark.parametrize("kind", ["amplifier", "gate_driver"])
def test_current_is_not_asked_of_kinds_without_a_rating(kind: str) -> None:
    """An amplifier is rated by power, and a gate driver carries no load current: neither lacks a value."""
    assert asked("current", load(), given(Part(kind=kind))) is None


def test_current_behind_a_power_stage_is_not_the_driver_s() -> None:
    """Where FETs carry the current the driver's rating does not count."""
    assert asked("current", load(), given(staged=True, current_a=44.0)) is None


@pytest.mark.parametrize(
    ("frequency_hz", "highest_hz", "expected"),
    [(200.0, 200.0, True), (200.1, 200.0, False), (100.0, None, None), (None, 200.0, None)],
)
def test_pwm(frequency_hz: float | None, highest_hz: float | None, expected: bool | None) -> None:
    """A load is dimmed up to the highest frequency of the part; one whose drive code has PWM has a frequency."""
    what = given(part(pwm_max_hz=highest_hz))
    assert fits("pwm", load("HSP", pwm_frequency_hz=frequency_hz), what) is expected


def test_pwm_is_asked_of_pulsed_loads_only() -> None:
    """A load that is switched has no frequency to compare; one with a duty has, although nobody gives it."""
    assert asked("pwm", load(), given()) is None
    assert asked("pwm", load(pwm_duty_ratio={"RUN": 1.0}), given()) is None
    assert fits("pwm", load(pwm_duty_ratio={"RUN": 0.5}), given()) is None


@pytest.mark.parametrize(
    ("fields", "expected", "measured"),
    [
        ({"current_sense": True, "freewheel": True}, True, "current sense, freewheel path"),
        ({"current_sense": False, "freewheel": True}, False, "no current sense"),
        ({"current_sense": True, "freewheel": False}, False, "no freewheel path"),
        ({"current_sense": None, "freewheel": False}, False, "no freewheel path"),
        ({"current_sense": None, "freewheel": True}, None, None),
        ({"kind": "full_bridge", "current_sense": True}, True, "current sense"),
        ({"kind": "led_driver"}, True, "regulated current"),
    ],
)
def test_regulation(fields: dict[str, Any], expected: bool | None, measured: str | None) -> None:
    """A regulated current needs a sense, and on a plain switch a freewheel path; an LED driver regulates."""
    found = asked("regulation", load(current_regulation=True), given(part(**fields)))
    assert found == Comparison("regulation", measured, "regulated current", expected)
    assert asked("regulation", load(), given(part(**fields))) is None


@pytest.mark.parametrize(
    ("voltage_v", "low_v", "high_v", "expected"),
    [
        (10.0, 3.0, 10.0, True),
        (3.0, 3.0, 10.0, True),
        (10.1, 3.0, 10.0, False),
        (2.9, 3.0, None, False),
        (10.1, None, 10.0, False),
        (5.0, None, 10.0, None),
        (None, 3.0, 10.0, None),
        (5.0, None, None, None),
    ],
)
def test_string_voltage(
    voltage_v: float | None,
    low_v: float | None,
    high_v: float | None,
    expected: bool | None,
) -> None:
    """A string lies within the window of its driver, both ends included."""
    driver = part(kind="led_driver", string_min_v=low_v, string_max_v=high_v)
    assert fits("string", load("LEDB", driven_voltage_v=voltage_v), given(driver)) is expected


def test_parallel() -> None:
    """Channels in parallel are on one device whose part allows it; the channels of the drive code alone are not."""
    own = load()
    assert asked("parallel", own, given(channels=2)) is None
    assert asked("parallel", own, given(joined="parallel")) is None
    assert fits("parallel", own, given(channels=2, joined="parallel")) is True
    assert fits("parallel", own, given(part(parallel_ok=None), 2, joined="parallel")) is None
    assert asked("parallel", own, given(part(parallel_ok=False), 2, joined="parallel")) == Comparison(
        "parallel", "2 channels", "1", fits=False
    )
    assert asked("parallel", own, given(channels=2, devices=2, joined="parallel")) == Comparison(
        "parallel", "2 devices", "1 device", fits=False
    )


def test_a_pre_driver_needs_a_stage() -> None:
    """A load behind a pre-driver names the FETs that carry its current."""
    driver = Part(kind="gate_driver", sides=("GDF",))
    assert fits("stage", load("GDF"), given(driver, 2)) is False
    assert fits("stage", load("GDF"), given(driver, 2, staged=True)) is True
    assert asked("stage", load(), given()) is None


def test_diagnosis() -> None:
    """A measured current shows a short and an open load; what else a part sees is not known."""
    sensing = given(part(current_sense=True))
    assert fits("diagnosis", load(diagnosis=("short", "open")), sensing) is True
    assert fits("diagnosis", load(diagnosis=("overtemperature",)), sensing) is None
    assert fits("diagnosis", load(diagnosis=("open",)), given(part(diagnosis=("flag",)))) is None
    assert asked("diagnosis", load(), sensing) is None


def test_safety() -> None:
    """A part declared below the level that the load asks for does not fit; one that declares nothing may not."""
    assert fits("safety", load(safety="B"), given()) is True
    assert fits("safety", load(safety="C"), given()) is False
    assert fits("safety", load(safety="A"), given(part(safety=None))) is None
    assert fits("safety", load(), given(part(safety=None))) is True


def test_every_check_is_asked_of_some_load() -> None:
    """Each check by its name compares something, so that none is listed and never asked."""
    own = load("GDF", current_regulation=True, diagnosis=("open",), pwm_frequency_hz=100.0)
    one = {check for check in CHECKS if asked(check, own, given(channels=3, joined="parallel"))}
    led = {check for check in CHECKS if asked(check, load("LEDB"), given(part(kind="led_driver")))}
    assert one | led == set(CHECKS)
