"""Values of loads that can hardly be meant, each with its likely cause."""

import pytest

from bomtui.model.load import Load
from bomtui.storage.tabular.load_doubts import doubts


def lamp(**fields: float | str) -> tuple[list[str], list[str]]:
    """What is doubted of a load with these fields."""
    return doubts(Load(subsystem="EXT", **fields), tuple(fields))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("fields", "cause"),
    [
        ({"rated_power_w": 5.0, "test_current_a": 445.0, "kind": "filament"}, "milliamperes read as amperes"),
        ({"rated_power_w": 5.0, "test_current_a": 0.000445, "kind": "filament"}, "amperes read as milliamperes"),
        ({"test_current_a": 450.0}, "milliamperes read as amperes"),
        ({"test_current_a": 3.0, "drive": "DI"}, "milliamperes read as amperes"),
        ({"test_current_a": 0.0}, "a blank cell written as 0"),
        ({"resistance_ohm": 0.0}, "a blank cell written as 0"),
        ({"test_current_a": 5.0, "peak_current_a": 2.0}, "columns exchanged"),
    ],
)
def test_a_slip_is_named_with_its_cause(fields: dict[str, float | str], cause: str) -> None:
    """It comes in, as it may be meant, and a look at it is asked for."""
    fatal, doubtful = lamp(**fields)
    assert fatal == []
    assert any(cause in sentence for sentence in doubtful), doubtful


@pytest.mark.parametrize(
    ("power", "current", "voltage", "is_refused"),
    [
        (40.0, 2.0, 13.5, True),
        (27.0, 2.0, 13.5, False),
        (5.0, 445.0, 12.0, True),
        # A heater of 240 W at 24 V whose current is given at 28 V; a lamp of 55 W at 12 V given at 13.5 V.
        (240.0, 11.67, 24.0, False),
        (55.0, 4.89, 12.0, False),
    ],
)
def test_two_figures_that_contradict_each_other(power: float, current: float, voltage: float, is_refused: bool) -> None:
    """The row waits for a person; figures at two usual voltages do not contradict each other."""
    fatal, _ = lamp(rated_power_w=power, test_current_a=current, rated_voltage_v=voltage)
    assert bool(fatal) is is_refused


@pytest.mark.parametrize(
    "fields",
    [
        {"rated_power_w": 21.0, "test_current_a": 1.7, "kind": "filament"},
        {"test_current_a": 0.0, "drive": "DI"},
        {"test_current_a": 0.00012},
        {"rated_power_w": 1500.0, "test_current_a": 125.0, "kind": "heater"},
        {"test_current_a": 10.0, "peak_current_a": 60.0},
    ],
)
def test_usual_loads_are_not_doubted(fields: dict[str, float | str]) -> None:
    """The bounds find slips, not loads."""
    assert lamp(**fields) == ([], [])
