"""The one gate through which every formula is called: value, unknown and explanation in one.

A formula is a plain function of floats (or exact decimals) that carries its text, unit and source. It never sees an
unknown: the gate answers None where an input is unknown, and evaluates at both ends where an input is a range. Running
the same engine code with a `Recorder` in place of `PLAIN` explains a figure: inputs are then numbers that know where
they came from, and each result knows the step that made it.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from itertools import pairwise, product, repeat
from math import fsum, inf, isnan
from typing import Any, TypeVar

from bomtui.model.bound import Range, Value, ends
from bomtui.model.money import LINE_DIGITS, Proportion, Total

F = TypeVar("F", bound=Callable[..., Any])
Column = list[Value] | Value
UNTRACED = "untraced"
"""Origin of a number that is neither an input field nor the result of a formula: a fault, held by a test."""


@dataclass(frozen=True, slots=True)
class FormulaInfo:
    """What a formula says of itself.

    Attributes:
        text: Expression over the parameter names, as printed; evaluating it gives the value.
        unit: Unit of the result, empty for a plain number.
        source: Standard, clause, handbook, or "common practice".
        parameters: Names in the order of the function.
    """

    text: str
    unit: str
    source: str
    parameters: tuple[str, ...]


_FORMULAS: dict[Callable[..., Any], FormulaInfo] = {}


def formula(text: str, unit: str, source: str) -> Callable[[F], F]:
    """Mark a function as a formula; the function itself is returned, unwrapped."""

    def mark(function: F) -> F:
        code = function.__code__
        _FORMULAS[function] = FormulaInfo(text, unit, source, code.co_varnames[: code.co_argcount])
        return function

    return mark


def formula_info(function: Callable[..., Any]) -> FormulaInfo:
    """Return what a formula says of itself.

    Raises:
        KeyError: The function is not marked as a formula.
    """
    return _FORMULAS[function]


class Gate:
    """Calls formulas on plain numbers, the way of every ordinary rollup."""

    def __call__(self, function: Callable[..., float], /, **inputs: Value) -> Value:
        """Evaluate one formula.

        Args:
            function: A formula, monotone in each input on its domain.
            inputs: A value per parameter.

        Returns:
            Its value; None where an input is unknown or where it has none (a division by zero, an overflow); a Range
            where an input is one.
        """
        spread = False
        for value in inputs.values():
            if value is None:
                return None
            if isinstance(value, Range):
                spread = True
        if spread:
            return _at_both_ends(function, inputs)
        try:
            return function(**inputs)
        except (ZeroDivisionError, OverflowError):
            return None

    def given(self, value: Any, reason: str) -> Any:  # noqa: ANN401, ARG002 - any number; the recorder keeps the reason
        """Take a number that stands for an absent field, with the reason why it does."""
        return value

    def exact(self, function: Callable[..., Decimal], /, **inputs: Any) -> Decimal | None:  # noqa: ANN401 - exact numbers
        """Evaluate one formula over exact numbers; None where an input is unknown or where it has no value."""
        if None in inputs.values():
            return None
        try:
            return function(**inputs)
        except (ZeroDivisionError, InvalidOperation):
            return None

    def each(self, function: Callable[..., float], keys: Sequence[str], /, **columns: Column) -> list[Value]:
        """Evaluate one formula for every row.

        Args:
            function: A formula.
            keys: Name of each row, for the explanation.
            columns: Per parameter, in the order of the function, a list with a value per row, or one value for all.

        Raises:
            TypeError: The columns are not the function's parameters in their order.
        """
        if tuple(columns) != _FORMULAS[function].parameters:
            expected = ", ".join(_FORMULAS[function].parameters)
            message = f"{function.__name__} takes the columns {expected}, got {', '.join(columns)}"
            raise TypeError(message)
        rows: list[Iterable[Value]] = []
        for column in columns.values():
            if isinstance(column, list):
                rows.append(column)
            elif column is None or isinstance(column, Range):
                return self._row_by_row(function, keys, columns)
            else:
                rows.append(repeat(column, len(keys)))
        try:
            return list(map(function, *rows))
        except (TypeError, ZeroDivisionError, OverflowError):
            # Something unknown among the rows, or a row without a value; any other fault is raised again, row by row.
            return self._row_by_row(function, keys, columns)

    def _row_by_row(
        self, function: Callable[..., float], keys: Sequence[str], columns: Mapping[str, Column]
    ) -> list[Value]:
        results: list[Value] = []
        for row in range(len(keys)):
            inputs: dict[str, Value] = {}
            for name, column in columns.items():
                inputs[name] = column[row] if isinstance(column, list) else column
            results.append(self(function, **inputs))
        return results

    def total(self, keys: Sequence[str], values: Sequence[Value]) -> Value:
        """Add terms that are never negative; unknown terms leave a lower bound that names them."""
        try:
            return fsum(values)  # type: ignore[arg-type]
        except TypeError:
            return _bounded_sum(keys, values)

    def totals_by(self, keys: Sequence[str], values: Sequence[Value], ends: Sequence[int]) -> list[Value]:
        """Add terms group by group, as `total` does.

        Args:
            keys: Name of each term.
            values: The terms, those of one group together.
            ends: For each group, the row behind its last term.
        """
        try:
            return [fsum(values[start:end]) for start, end in pairwise((0, *ends))]  # type: ignore[arg-type]
        except TypeError:
            return [self.total(keys[start:end], values[start:end]) for start, end in pairwise((0, *ends))]

    def largest(self, keys: Sequence[str], values: Sequence[Value]) -> Value:
        """Return the largest of terms that are never negative; 0 where there is none."""
        try:
            return max(values, default=0.0)  # type: ignore[type-var]
        except TypeError:
            return _bounded_largest(keys, values)

    def money(self, keys: Sequence[str], values: Sequence[Decimal | None]) -> Total:  # noqa: ARG002 - the recorder keeps the keys
        """Add amounts; unknown ones are counted, and the amount is then a lower bound."""
        known = [value for value in values if value is not None]
        return Total(amount=sum(known, Decimal(0)), unknown=len(values) - len(known))

    def counted(self, amounts: Mapping[str, Decimal], what: str) -> Decimal:  # noqa: ARG002 - the recorder keeps what they are
        """Add exact amounts of an owner each.

        Args:
            amounts: Amount per owner.
            what: What the amounts are, for the explanation.
        """
        return sum(amounts.values(), Decimal(0))

    def totals(self, keys: Sequence[str], values: Sequence[Total]) -> Total:
        """Add totals: their amounts, and what each of them misses."""
        amount = self.money(keys, [value.amount for value in values]).amount
        return Total(amount=amount, unknown=sum(value.unknown for value in values))

    def split(self, total: Decimal, by: Proportion, what: str) -> dict[str, Decimal]:  # noqa: ARG002 - the recorder keeps what the weights are
        """Split an amount by weights with largest remainders, so that the shares add to it exactly.

        Args:
            total: Amount to split.
            by: Weight per key; where all are 0 every share is 0, which is right only for a total of 0.
            what: What the weights are, for the explanation.

        Raises:
            ValueError: There is an amount to split and nothing to split it by.
        """
        if len(by.weights) == 1:
            return dict.fromkeys(by.weights, total)
        if not total and not any(by.weights.values()):
            return dict.fromkeys(by.weights, total)
        return by.largest_remainder(total, LINE_DIGITS)

    def split_all(self, terms: Sequence[tuple[str, Decimal, Proportion]], what: str) -> dict[str, Decimal]:
        """Split amounts as `split` does, each by its own weights, and add up the shares of each key.

        Args:
            terms: Name, amount and weights of each.
            what: What the amounts are of, for the explanation.
        """
        sums: dict[str, int] = {}
        for _, amount, by in terms:
            # Whole units add much quicker than decimals; where an amount is none, or nothing is split, each term is
            # split by itself.
            shares = by.share_units(amount, LINE_DIGITS) if amount else [0] * len(by.weights)
            if shares is None:
                return self._split_one_by_one(terms, what)
            for key, share in zip(by.weights, shares, strict=True):
                sums[key] = sums.get(key, 0) + share
        return {key: Decimal(units).scaleb(-LINE_DIGITS) for key, units in sums.items()}

    def _split_one_by_one(self, terms: Sequence[tuple[str, Decimal, Proportion]], what: str) -> dict[str, Decimal]:
        names: dict[str, list[str]] = {}
        shares: dict[str, list[Decimal]] = {}
        for name, amount, by in terms:
            for key, share in self.split(amount, by, f"{name} {what}: weight").items():
                names.setdefault(key, []).append(name)
                shares.setdefault(key, []).append(share)
        return {key: self.money(names[key], own).amount for key, own in shares.items()}


PLAIN = Gate()


def _at_both_ends(function: Callable[..., float], inputs: Mapping[str, Value]) -> Value:
    corners = [(value.low, value.high) if isinstance(value, Range) else (value,) for value in inputs.values()]
    results: list[float] = []
    for corner in product(*corners):
        try:
            results.append(function(**dict(zip(inputs, corner, strict=True))))
        except ZeroDivisionError:
            # The far end of a bound: as the divisor goes to nothing, the result has no limit.
            results.append(inf)
        except OverflowError:
            return None
    names = frozenset[str]().union(*(value.unknown for value in inputs.values() if isinstance(value, Range)))
    if any(isnan(result) for result in results):
        return None
    return Range(min(results), max(results), names)


def _missing(keys: Sequence[str], values: Sequence[Value]) -> frozenset[str]:
    lost = frozenset(key for key, value in zip(keys, values, strict=True) if value is None)
    return lost.union(*(value.unknown for value in values if isinstance(value, Range)))


def _bounded_sum(keys: Sequence[str], values: Sequence[Value]) -> Value:
    pairs = [ends(value) if value is not None else (0.0, inf) for value in values]
    return Range(fsum(low for low, _ in pairs), fsum(high for _, high in pairs), _missing(keys, values))


def _bounded_largest(keys: Sequence[str], values: Sequence[Value]) -> Value:
    pairs = [ends(value) if value is not None else (0.0, inf) for value in values]
    return Range(max(low for low, _ in pairs), max(high for _, high in pairs), _missing(keys, values))


@dataclass(frozen=True, slots=True)
class Step:
    """One formula evaluated.

    Attributes:
        name: Name of the formula.
        text: Its expression.
        unit: Unit of the value.
        source: Where it comes from.
        inputs: Name, value and origin of each input; an origin is a field path or a Step.
        value: Result.
    """

    name: str
    text: str
    unit: str
    source: str
    inputs: tuple[tuple[str, Any, "str | Step"], ...]
    value: Any


class TracedFloat(float):
    """A float that knows its field or step."""

    __slots__ = ("origin",)
    origin: "str | Step"


class TracedInt(int):
    """A whole number that knows its field."""

    origin: "str | Step"


class TracedDecimal(Decimal):
    """An exact number that knows its field or step."""

    __slots__ = ("origin",)
    origin: "str | Step"


@dataclass(frozen=True, slots=True, eq=False)
class TracedRange(Range):
    """A range that knows its step."""

    origin: "str | Step" = UNTRACED


def traced(value: Any, origin: "str | Step") -> Any:  # noqa: ANN401 - any number
    """Return a number that remembers its origin and otherwise behaves as before; None and text stay as they are."""
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, Range):
        return TracedRange(value.low, value.high, value.unknown, origin)
    for plain, kind in ((float, TracedFloat), (int, TracedInt), (Decimal, TracedDecimal)):
        if isinstance(value, plain):
            result = kind(value)
            result.origin = origin
            return result
    return value


def origin_of(value: Any) -> "str | Step":  # noqa: ANN401 - any number
    """Return where a number came from."""
    return getattr(value, "origin", UNTRACED)


def exact_of(calc: Gate, number: float, path: str) -> Decimal:
    """Return the exact decimal that a person wrote for a number held as a float."""
    exact: Decimal = calc.given(Decimal(repr(float(number))), path)
    return exact


class Recorder(Gate):
    """Calls formulas like `Gate` and remembers how each result came about."""

    def __call__(self, function: Callable[..., float], /, **inputs: Value) -> Value:
        """Evaluate and remember one formula."""
        result: Value = self._kept(function, inputs, super().__call__(function, **inputs))
        return result

    def given(self, value: Any, reason: str) -> Any:  # noqa: ANN401 - any number
        """Remember why a number stands for an absent field."""
        return traced(value, reason)

    def exact(self, function: Callable[..., Decimal], /, **inputs: Any) -> Decimal | None:  # noqa: ANN401 - exact numbers
        """Evaluate and remember one formula over exact numbers."""
        result: Decimal | None = self._kept(function, inputs, super().exact(function, **inputs))
        return result

    def each(self, function: Callable[..., float], keys: Sequence[str], /, **columns: Column) -> list[Value]:
        """Evaluate and remember one formula for every row."""
        return self._row_by_row(function, keys, columns)

    def total(self, keys: Sequence[str], values: Sequence[Value]) -> Value:
        """Add and remember terms."""
        result: Value = self._gathered("sum", keys, values, super().total(keys, values))
        return result

    def totals_by(self, keys: Sequence[str], values: Sequence[Value], ends: Sequence[int]) -> list[Value]:
        """Add and remember terms group by group."""
        return [self.total(keys[start:end], values[start:end]) for start, end in pairwise((0, *ends))]

    def largest(self, keys: Sequence[str], values: Sequence[Value]) -> Value:
        """Pick and remember the largest term."""
        result: Value = self._gathered("largest", keys, values, super().largest(keys, values))
        return result

    def money(self, keys: Sequence[str], values: Sequence[Decimal | None]) -> Total:
        """Add and remember amounts."""
        plain = super().money(keys, values)
        return Total(amount=self._gathered("sum", keys, values, plain.amount), unknown=plain.unknown)

    def counted(self, amounts: Mapping[str, Decimal], what: str) -> Decimal:
        """Add and remember exact amounts."""
        given = {
            owner: self.given(amount, f"{what} of {owner}") if origin_of(amount) == UNTRACED else amount
            for owner, amount in amounts.items()
        }
        return self.money(list(given), list(given.values())).amount

    def split(self, total: Decimal, by: Proportion, what: str) -> dict[str, Decimal]:
        """Split an amount and remember by what."""
        shares = super().split(total, by, what)
        given = tuple((key, weight, f"{what} of {key.strip()}") for key, weight in by.weights.items())
        inputs = (("total", total, origin_of(total)), *given)
        return {
            key: traced(
                share,
                Step("largest remainder", f"largest_remainder(total)[{key.strip()}]", "", "Hamilton", inputs, share),
            )
            for key, share in shares.items()
        }

    def split_all(self, terms: Sequence[tuple[str, Decimal, Proportion]], what: str) -> dict[str, Decimal]:
        """Split and add amounts and remember how."""
        return self._split_one_by_one(terms, what)

    def _kept(self, function: Callable[..., Any], inputs: Mapping[str, Any], value: Any) -> Any:  # noqa: ANN401 - any number
        info = _FORMULAS[function]
        steps = tuple((name, given, origin_of(given)) for name, given in inputs.items())
        return traced(value, Step(function.__name__, info.text, info.unit, info.source, steps, value))

    def _gathered(self, text: str, keys: Iterable[str], values: Iterable[Any], value: Any) -> Any:  # noqa: ANN401 - any number
        steps = tuple((key, given, origin_of(given)) for key, given in zip(keys, values, strict=True))
        return traced(value, Step(text, text, "", "", steps, value))
