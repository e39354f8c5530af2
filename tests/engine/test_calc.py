"""The gate: known, unknown and bounded inputs, columns, sums, and the recorder."""

from decimal import Decimal
from math import inf

import pytest

from bomtui.engine.calc import (
    PLAIN,
    UNTRACED,
    Recorder,
    Step,
    formula,
    formula_info,
    origin_of,
    traced,
)
from bomtui.model.bound import Range, Value, exceeds
from bomtui.model.money import Proportion, Total

AT_LEAST_TWO = Range(2.0, inf, frozenset({"L9"}))


@formula("charge_as / current_a", "s", "definition")
def lasts_s(charge_as: float, current_a: float) -> float:
    """Time that a charge lasts."""
    return charge_as / current_a


@formula("price * pieces", "", "definition")
def paid(price: Decimal, pieces: int) -> Decimal:
    """Money for pieces."""
    return price * pieces


@formula("price / pieces", "", "definition")
def shared(price: Decimal, pieces: int) -> Decimal:
    """Money per piece."""
    return price / pieces


def test_known_inputs_give_the_value() -> None:
    """A formula of known numbers is its plain value."""
    assert PLAIN(lasts_s, charge_as=6.0, current_a=2.0) == 3.0


def test_unknown_input_gives_unknown() -> None:
    """A formula never sees an unknown: the result is unknown too."""
    assert PLAIN(lasts_s, charge_as=None, current_a=2.0) is None


def test_division_by_zero_has_no_value() -> None:
    """A zero under the bar is no number and no crash."""
    assert PLAIN(lasts_s, charge_as=6.0, current_a=0.0) is None
    assert PLAIN.each(lasts_s, ["a", "b"], charge_as=[6.0, 6.0], current_a=[0.0, 3.0]) == [None, 2.0]


@pytest.mark.parametrize("price", ["0", "1.10"])
def test_exact_division_by_zero_has_no_value(price: str) -> None:
    """Nothing over nothing, and something over nothing, are no amounts of money."""
    assert PLAIN.exact(shared, price=Decimal(price), pieces=0) is None


def test_range_turns_its_direction_in_a_falling_formula() -> None:
    """At least 2 A makes at most 3 s, with the missing name carried on."""
    result = PLAIN(lasts_s, charge_as=6.0, current_a=AT_LEAST_TWO)
    assert result == Range(0.0, 3.0, frozenset({"L9"}))


def test_columns_equal_single_calls() -> None:
    """A column call gives, row by row, what single calls give, unknowns and ranges included."""
    charges: list[Value] = [6.0, None, 6.0, 8.0]
    currents: list[Value] = [2.0, 1.0, AT_LEAST_TWO, 4.0]
    single = [PLAIN(lasts_s, charge_as=one, current_a=other) for one, other in zip(charges, currents, strict=True)]
    assert PLAIN.each(lasts_s, list("abcd"), charge_as=charges, current_a=currents) == single
    assert PLAIN.each(lasts_s, list("ab"), charge_as=[6.0, 8.0], current_a=2.0) == [3.0, 4.0]
    assert PLAIN.each(lasts_s, list("ab"), charge_as=[6.0, 8.0], current_a=None) == [None, None]


def test_columns_in_another_order_are_refused() -> None:
    """Columns are positional below, so another order than the function's is an error, not a wrong number."""
    with pytest.raises(TypeError, match="takes the columns charge_as, current_a"):
        PLAIN.each(lasts_s, ["a"], current_a=[2.0], charge_as=[6.0])


def test_sum_with_unknown_terms_is_a_lower_bound_that_names_them() -> None:
    """Known terms are added, missing ones are named."""
    assert PLAIN.total(["a", "b"], [1.0, 2.0]) == 3.0
    assert PLAIN.total(["a", "b"], [1.0, None]) == Range(1.0, inf, frozenset({"b"}))
    assert PLAIN.total(["a", "b"], [1.0, AT_LEAST_TWO]) == Range(3.0, inf, frozenset({"L9"}))
    assert PLAIN.total([], []) == 0.0


def test_largest_with_unknown_terms_is_a_lower_bound() -> None:
    """The largest of known terms bounds the largest of all from below."""
    assert PLAIN.largest(["a", "b"], [1.0, 2.0]) == 2.0
    assert PLAIN.largest(["a", "b"], [1.0, None]) == Range(1.0, inf, frozenset({"b"}))
    assert PLAIN.largest([], []) == 0.0


def test_money_counts_what_is_missing() -> None:
    """Unknown amounts are counted, not added as zero in silence."""
    assert PLAIN.money(["a", "b"], [Decimal("1.10"), None]) == Total(amount=Decimal("1.10"), unknown=1)
    assert PLAIN.exact(paid, price=Decimal("1.10"), pieces=3) == Decimal("3.30")
    assert PLAIN.exact(paid, price=None, pieces=3) is None


def test_split_adds_up_and_refuses_to_split_by_nothing() -> None:
    """Shares add to the total; an amount without anyone to take it is a fault."""
    shares = PLAIN.split(Decimal("1.0000"), Proportion({"a": Decimal(1), "b": Decimal(2)}), "points")
    assert shares == {"a": Decimal("0.3333"), "b": Decimal("0.6667")}
    with pytest.raises(ValueError, match="one at least is above 0"):
        PLAIN.split(Decimal(1), Proportion({"a": Decimal(0), "b": Decimal(0)}), "points")


@pytest.mark.parametrize(
    ("measured", "limit", "verdict"),
    [
        (2.0, 1.0, True),
        (1.0, 1.0, False),
        (None, 1.0, None),
        (1.0, None, None),
        (AT_LEAST_TWO, 1.0, True),
        (AT_LEAST_TWO, 3.0, None),
        (Range(0.0, 3.0, frozenset({"x"})), 3.0, False),
        (1.0, AT_LEAST_TWO, False),
    ],
)
def test_comparison_is_true_false_or_undecided(measured: object, limit: object, verdict: bool | None) -> None:
    """Only where the unknown part cannot change it is a comparison decided."""
    assert exceeds(measured, limit) is verdict  # type: ignore[arg-type]


def test_recorder_gives_the_same_values_and_knows_the_chain() -> None:
    """Recorded results equal plain ones; each knows its step, and inputs know their field."""
    recorder = Recorder()
    charge = traced(6.0, "vehicle.battery_capacity")
    result = recorder(lasts_s, charge_as=charge, current_a=traced(2.0, "loads.L1.test_current"))
    assert result == PLAIN(lasts_s, charge_as=6.0, current_a=2.0)
    step = origin_of(result)
    assert isinstance(step, Step)
    assert (step.text, step.unit, step.source) == ("charge_as / current_a", "s", "definition")
    assert step.inputs[0] == ("charge_as", 6.0, "vehicle.battery_capacity")
    total = recorder.total(["x"], [result])
    outer = origin_of(total)
    assert isinstance(outer, Step)
    assert outer.inputs[0][2] is step


def test_arithmetic_outside_the_gate_loses_its_origin() -> None:
    """A number made by plain arithmetic is untraced, so that a test over all figures finds it."""
    assert origin_of(traced(6.0, "field") * 2) == UNTRACED


def test_formula_info_names_parameters_in_order() -> None:
    """A formula knows its text, unit, source and parameters; a plain function is none."""
    assert formula_info(lasts_s).parameters == ("charge_as", "current_a")
    with pytest.raises(KeyError):
        formula_info(test_formula_info_names_parameters_in_order)
