"""Every formula of the engine has the dimension of the unit that it says, by the units in the names of its inputs."""

import importlib
import math
import pkgutil
import re
from collections.abc import Callable
from typing import Any

import pint
import pytest

from bomtui import engine
from bomtui.engine.calc import FormulaInfo, formula_info
from bomtui.model.quantity import DIMENSIONS

UNITS: Any = pint.UnitRegistry()
OF_MONEY = {
    "price", "cost_elements", "fitment", "module_amounts", "exchange", "difference_by_cause", "programme", "break_even",
}  # fmt: skip
"""Modules whose formulas count money and pieces, which have no dimension here."""
COUNTS = {"rough_cost", "exact_change", "change_ratio", "share_of"}
"""Formulas of money and pieces beside others."""

SPELLED = {
    "degC": "kelvin",
    "1": "",
    "As": "A*s",
    "A2s": "A**2*s",
    "m2": "m**2",
    "ohm/m": "ohm/m",
    "bit/s": "bit/s",
    "byte": "byte",
    "": "",
    "d": "day",
    "dB": "",
    "dBm": "",
    "dB/m": "1/m",
}
SUFFIXES = sorted(((own.suffix, own.si_unit) for own in DIMENSIONS.values()), key=lambda own: -len(own[0]))
PLAIN_NAMES = {
    "paths", "parallel", "edges", "factor", "exponent", "contacts", "wires", "placements", "quantity", "channels",
    "weeks", "total", "used", "part_cost", "whole_cost", "rung_quantity", "order_quantity",
    "data_bytes", "stuffed_bits", "head_bits", "arbitration_bits", "data_bits", "bits", "bends", "connectors",
    "per_cycle", "instance", "gauge", "ways", "total_ways", "seen", "needed",
}  # fmt: skip
"""Inputs without a unit: counts."""

# Numbers in formulas that carry a unit: temperatures on the lines of resistances and fuses, a film of air, the density
# of copper, seconds of a day and an hour.
CONSTANTS = {
    "hot_ohm_per_m": {"20": "kelvin"},
    "ampacity_a": {"10": "W/m**2/kelvin"},
    "copper_kg": {"8890": "kg/m**3"},
    "fuse_load_ratio": {"23": "kelvin", "57": "kelvin"},
    "resistance_slope_per_k": {"125": "kelvin"},
    "junction_degc": {"25": "kelvin"},
    "hot_power_w": {"25": "kelvin"},
    "needed_theta_k_per_w": {"25": "kelvin"},
    "days_s": {"86400": "second/day"},
    "weeks_s": {"604800": "second"},
    "self_discharge_a": {"3600": "second"},
    "parking_days": {"86400": "second/day"},
    "cold_parking_s": {"86400": "second/day"},
    "longest_line_m": {"1000000": "bit/second"},
    "path_loss_db": {"299792458": "meter/second"},
}


def formulas() -> list[tuple[str, Callable[..., Any]]]:
    """Every formula of physical quantities, by module and name."""
    found = []
    for module in pkgutil.walk_packages(engine.__path__, f"{engine.__name__}."):
        short = module.name.removeprefix(f"{engine.__name__}.")
        if short in OF_MONEY:
            continue
        loaded = importlib.import_module(module.name)
        for name, own in vars(loaded).items():
            if getattr(own, "__module__", "") == loaded.__name__ and name not in COUNTS and is_formula(own):
                found.append((f"{short}.{name}", own))
    return found


def is_formula(own: Any) -> bool:  # noqa: ANN401 - anything that a module holds
    """Tell whether something is marked as a formula."""
    try:
        return isinstance(formula_info(own), FormulaInfo)
    except (KeyError, TypeError):
        return False


def unit_of(parameter: str) -> str:
    """Unit of an input, by the ending of its name."""
    if parameter == "days":
        return "day"
    if parameter in PLAIN_NAMES:
        return ""
    if parameter.endswith("_w_per_k"):
        return "watt/kelvin"
    si_unit = next(unit for suffix, unit in SUFFIXES if f"_{parameter}".endswith(suffix))
    return SPELLED.get(si_unit, si_unit)


def of_a_number(function: Callable[[float], float]) -> Callable[[Any], float]:
    """Function of a plain number only: a quantity with a unit is refused."""
    return lambda value: function(value.to("").magnitude)


FORMULAS = formulas()


@pytest.mark.parametrize(("name", "function"), FORMULAS, ids=[name for name, _ in FORMULAS])
def test_dimension_of_a_formula(name: str, function: Callable[..., Any]) -> None:
    """Evaluated on quantities with the units of its inputs, the text of a formula gives its own unit."""
    info = formula_info(function)
    text = info.text
    values: dict[str, Any] = {"max": max, "min": min}
    values |= {own.__name__: of_a_number(own) for own in (math.log1p, math.log, math.log10, math.exp, math.expm1)}
    for constant, unit in CONSTANTS.get(name.rpartition(".")[2], {}).items():
        text = re.sub(rf"\b{constant}\b", f"c{constant}", text)
        values[f"c{constant}"] = UNITS.Quantity(float(constant), unit)
    for row, parameter in enumerate(info.parameters):
        values[parameter] = UNITS.Quantity(0.9 - 0.07 * row, unit_of(parameter))
    result = eval(text, {"__builtins__": {}}, values)  # noqa: S307 - our own formula texts
    assert UNITS.Quantity(result).check(UNITS.Quantity(1.0, SPELLED.get(info.unit, info.unit)).dimensionality), (
        f"{info.text} is in {UNITS.Quantity(result).units:~}, not {info.unit or 'a plain number'}"
    )


def test_a_wrong_dimension_is_seen() -> None:
    """Adding volts to amperes is refused, and a product in place of a quotient has another dimension."""
    volts, amperes = UNITS.Quantity(1.0, "V"), UNITS.Quantity(1.0, "A")
    with pytest.raises(pint.DimensionalityError):
        eval("a + b", {"__builtins__": {}}, {"a": volts, "b": amperes})  # noqa: S307 - a text of this test
    assert not (volts * amperes).check(UNITS.Quantity(1.0, "ohm").dimensionality)
    assert len(FORMULAS) > 60
