"""Why two variants, or two revisions, cost what they cost: the difference split by cause, exactly and symmetrically.

Every cost is a quantity times a price. A step of quantity counts at the mean of both prices, a step of price at the
mean of both quantities, so that the split does not depend on which side is called the first: with the sides changed
every share only turns its sign.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from bomtui.engine.calc import PLAIN, exact_of, formula
from bomtui.engine.exchange import own_amount, worth_of
from bomtui.engine.price import rung_of
from bomtui.engine.quantities import Amounts, Weights
from bomtui.engine.rollup import Computed
from bomtui.engine.scope import Own, own_of, scope_of
from bomtui.engine.swapped import swapped_quantities
from bomtui.model.comparison import CAUSES, Difference, PartChange, Scope, Share
from bomtui.model.ids import natural_key
from bomtui.model.money import LINE_DIGITS, exact_sum, without_rounding
from bomtui.model.part import Part
from bomtui.model.rollup import PartLine

BENNET = "symmetric split of a difference of products (Bennet indicators of quantity and price)"
NONE = Decimal(0)


@formula("quantity_step * (first_price + second_price) / 2", "", BENNET)
def quantity_effect(quantity_step: Decimal, first_price: Decimal, second_price: Decimal) -> Decimal:
    """What a step of quantity costs, at the mean of both prices.

    Args:
        quantity_step: Quantity of the second less that of the first.
        first_price: Price on the first side.
        second_price: Price on the second side.

    Source: symmetric split (Bennet).
    """
    return quantity_step * (first_price + second_price) / 2


@formula("(first_quantity + second_quantity) / 2 * price_step", "", BENNET)
def price_effect(first_quantity: Decimal, second_quantity: Decimal, price_step: Decimal) -> Decimal:
    """What a step of price costs, at the mean of both quantities.

    Args:
        first_quantity: Quantity on the first side.
        second_quantity: Quantity on the second side.
        price_step: Price of the second less that of the first.

    Source: symmetric split (Bennet).
    """
    return (first_quantity + second_quantity) / 2 * price_step


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two, with what it spends on loads of its own."""

    computed: Computed
    own: Own
    lines: Mapping[str, PartLine]

    @property
    def amounts(self) -> list[Amounts]:
        """What an average vehicle takes of each module."""
        return [quantities.average for quantities in self.computed.cost.quantities.values()]

    def part(self, key: str) -> Part | None:
        """Return a frozen part."""
        return self.computed.snapshot.parts.get(key)

    def amount(self, element: str) -> Decimal | None:
        """Return a cost element; None where nothing of it is known."""
        return self.computed.result.cost.elements[element].amount

    def rate(self, name: str) -> Decimal | None:
        """Return a rate in the currency of the proposal; None where it is unknown."""
        proposal = self.computed.snapshot.proposal
        money = getattr(proposal.settings.rates, name)
        return own_amount(PLAIN, money, proposal.programme, proposal.proposal.currency)

    def ratio(self, name: str) -> Decimal | None:
        """Return a ratio of the rates; None where it is unknown."""
        ratio = getattr(self.computed.snapshot.proposal.settings.rates, f"{name}_ratio")
        return None if ratio is None else exact_of(PLAIN, ratio, f"settings.rates.{name}")


def compared(first: Computed, second: Computed) -> tuple[Scope, Difference]:
    """Compare two computed variants of one currency; every amount is second less first.

    Args:
        first: One variant, of any proposal.
        second: Another one, or the same.
    """
    scope = scope_of(first, second)
    sides = (_side(first, scope.only_first, scope.changed), _side(second, scope.only_second, scope.changed))
    with without_rounding():
        swapped = swapped_quantities(first, second, sides[0].own.places | sides[1].own.places)
        parts = list(_part_shares(*sides, swapped))
        shares = [
            *parts,
            *_on_top("attrition", parts, *sides),
            *_placement(*sides, swapped),
            *_by_quantity("test", (("test_per_module", _modules), ("test_per_way", _ways)), *sides),
            *_by_quantity("assembly", (("assembly_per_module", _modules),), *sides),
            *_by_quantity("wire", (("wire_per_metre", _metres),), *sides),
            *_by_quantity("wire_ends", (("wire_end", _ends),), *sides),
            *_by_quantity("network", (("bus_node", _modules),), *sides),
            *_one_off(*sides),
        ]
        carried = [share for share in shares if share.element in {"parts", "attrition"}]
        for element in ("freight", "duty"):
            shares += _on_top(element, carried, *sides)
        total, unknown = second.result.cost.total, first.result.cost.total.unknown
        return scope, Difference(
            total=total.amount - first.result.cost.total.amount,
            unknown_first=unknown,
            unknown_second=total.unknown,
            shares=tuple(sorted(shares, key=lambda share: CAUSES.index(share.cause))),
        )


def part_changes(first: Computed, second: Computed) -> tuple[PartChange, ...]:
    """Return the parts of which quantity, rung, price or line price differ, in natural order."""
    lines, others = ({line.part: line for line in side.result.cost.lines} for side in (first, second))
    found = []
    for key in sorted(lines.keys() | others.keys(), key=natural_key):
        one, other = lines.get(key), others.get(key)
        if one is not None and other is not None and _same(one, other):
            continue
        amounts = [NONE if line is None else line.line_price for line in (one, other)]
        known = [amount for amount in amounts if amount is not None]
        found.append(
            PartChange(
                part=key,
                first=None if one is None else one.quantity,
                second=None if other is None else other.quantity,
                rung_first=None if one is None else one.rung,
                rung_second=None if other is None else other.rung,
                price_first=None if one is None else one.unit_price,
                price_second=None if other is None else other.unit_price,
                amount=known[1] - known[0] if len(known) == len(amounts) else None,
            )
        )
    return tuple(found)


def _same(one: PartLine, other: PartLine) -> bool:
    return (one.quantity, one.rung, one.unit_price, one.line_price) == (
        other.quantity,
        other.rung,
        other.unit_price,
        other.line_price,
    )


def _side(computed: Computed, only_here: tuple[str, ...], changed: tuple[str, ...]) -> Side:
    lines = {line.part: line for line in computed.result.cost.lines}
    return Side(computed, own_of(computed, only_here, changed), lines)


def _part_shares(first: Side, second: Side, swapped: Weights) -> Iterable[Share]:
    for key in sorted(first.lines.keys() | second.lines.keys(), key=natural_key):
        one, other = first.lines.get(key), second.lines.get(key)
        amounts = [NONE if line is None else line.line_price for line in (one, other)]
        yield from _settled("parts", key, amounts, _part_steps(key, first, second, swapped))


def _part_steps(key: str, first: Side, second: Side, swapped: Weights) -> dict[str, Decimal]:
    """Return the step of each cause that a part has; empty where a price is not known."""
    one, other = first.lines.get(key), second.lines.get(key)
    prices = [line.unit_price for line in (one, other) if line is not None]
    if None in prices:
        return {}
    # Where one side has no such part there is no step of price.
    first_price, second_price = prices[0], prices[-1]
    quantities = [NONE if line is None else line.quantity for line in (one, other)]
    own = [_of(side.own.parts, key) for side in (first, second)]
    steps = {
        "scope": own[1] - own[0],
        "part_change": _of(swapped, key),
    }
    steps["architecture"] = quantities[1] - quantities[0] - steps["scope"] - steps["part_change"]
    effects = {
        cause: _known(
            PLAIN.exact(quantity_effect, quantity_step=step, first_price=first_price, second_price=second_price)
        )
        for cause, step in steps.items()
    }
    if one is not None and other is not None:
        for cause, step in _price_steps(key, (first, one), (second, other)).items():
            effects[cause] = _known(
                PLAIN.exact(price_effect, first_quantity=quantities[0], second_quantity=quantities[1], price_step=step)
            )
    return effects


def _of(quantities: Weights, key: str) -> Decimal:
    """Return a quantity; what has no entry takes none."""
    return quantities.get(key, NONE)


def _price_steps(key: str, first: tuple[Side, PartLine], second: tuple[Side, PartLine]) -> dict[str, Decimal]:
    """Split a step of unit price: other rung, other ladder, other exchange rate."""
    (one, line), (other, other_line) = first, second
    part, other_part = one.part(key), other.part(key)
    whole = _known(other_line.unit_price) - _known(line.unit_price)
    if part is None or other_part is None or part.currency != other_part.currency or not whole:
        return {"quoted_price": whole}
    rates = [_rate_of(one, part.currency), _rate_of(other, part.currency)]
    prices = {
        (ladder, order): _price_at(breaks, quantity)
        for ladder, breaks in enumerate((part, other_part))
        for order, quantity in enumerate((line.order, other_line.order))
    }
    mean_rate = (rates[0] + rates[1]) / 2
    rung = (prices[1, 1] - prices[1, 0] + prices[0, 1] - prices[0, 0]) / 2
    ladder = (prices[1, 0] - prices[0, 0] + prices[1, 1] - prices[0, 1]) / 2
    return {
        "rung": rung * mean_rate,
        "quoted_price": ladder * mean_rate,
        "rate": (rates[1] - rates[0]) * (prices[0, 0] + prices[1, 1]) / 2,
    }


def _rate_of(side: Side, currency: str) -> Decimal:
    proposal = side.computed.snapshot.proposal
    return _known(worth_of(proposal.programme, currency, proposal.proposal.currency))


def _price_at(part: Part, order: int | None) -> Decimal:
    rung = None if order is None else rung_of(part.breaks, order)[0]
    return _known(None if rung is None else rung.price)


def _known(amount: Decimal | None) -> Decimal:
    """Return an amount of a line whose price is known.

    Raises:
        ValueError: It is not, which is a fault of the program.
    """
    if amount is None:
        raise ValueError("a line with a price has a rung, an order and a rate")
    return amount


def _on_top(element: str, carried: Iterable[Share], first: Side, second: Side) -> list[Share]:
    """Return the steps of what is a ratio of other elements: the causes of these, and the ratio itself."""
    ratios = (first.ratio(element), second.ratio(element))
    amounts = [_of_known(side.amount(element), ratio) for side, ratio in zip((first, second), ratios, strict=True)]
    steps: dict[str, Decimal] = {}
    if ratios[0] is not None and ratios[1] is not None:
        bases = [_base(element, side) for side in (first, second)]
        steps[element] = _known(
            PLAIN.exact(
                price_effect, first_quantity=bases[0], second_quantity=bases[1], price_step=ratios[1] - ratios[0]
            )
        )
        for share in carried:
            effect = PLAIN.exact(
                quantity_effect, quantity_step=share.amount, first_price=ratios[0], second_price=ratios[1]
            )
            steps[share.cause] = steps.get(share.cause, NONE) + _known(effect)
    return list(_settled(element, "", amounts, steps))


def _base(element: str, side: Side) -> Decimal:
    """Return what a ratio is taken of."""
    names = ("parts",) if element == "attrition" else ("parts", "attrition")
    return exact_sum(_known(side.amount(name)) for name in names)


def _of_known(amount: Decimal | None, rate: Decimal | None) -> Decimal | None:
    return None if rate is None else amount


def _placement(first: Side, second: Side, swapped: Weights) -> Iterable[Share]:
    """Return the steps of placing pieces: those of parts that took the place of others go with their part."""

    def pieces(part: Part | None, quantity: Decimal) -> Decimal:
        return quantity * (1 if part is None else part.placements)

    def own(side: Side) -> Decimal:
        return exact_sum(pieces(side.part(key), quantity) for key, quantity in side.own.parts.items())

    rates = (first.rate("placement"), second.rate("placement"))
    amounts = [_of_known(side.amount("placement"), rate) for side, rate in zip((first, second), rates, strict=True)]
    steps: dict[str, Decimal] = {}
    if rates[0] is not None and rates[1] is not None:
        there = [exact_sum(amount.placed_pieces for amount in side.amounts) for side in (first, second)]
        quantity = {
            "scope": own(second) - own(first),
            "part_change": exact_sum(
                pieces(first.part(key) or second.part(key), step) for key, step in swapped.items()
            ),
        }
        quantity["architecture"] = there[1] - there[0] - exact_sum(quantity.values())
        steps = _product_steps("placement", quantity, there, (rates[0], rates[1]))
    yield from _settled("placement", "", amounts, steps)


def _product_steps(
    cause: str, quantity_steps: Mapping[str, Decimal], quantities: list[Decimal], rates: tuple[Decimal, Decimal]
) -> dict[str, Decimal]:
    steps = {
        name: _known(PLAIN.exact(quantity_effect, quantity_step=step, first_price=rates[0], second_price=rates[1]))
        for name, step in quantity_steps.items()
    }
    steps[cause] = _known(
        PLAIN.exact(
            price_effect, first_quantity=quantities[0], second_quantity=quantities[1], price_step=rates[1] - rates[0]
        )
    )
    return steps


Counted = Callable[[Side], tuple[Decimal, Decimal]]
"""How much of something a side has, and how much of it for loads of its own."""


def _modules(side: Side) -> tuple[Decimal, Decimal]:
    return exact_sum(amount.modules for amount in side.amounts), side.own.modules


def _ways(side: Side) -> tuple[Decimal, Decimal]:
    return exact_sum(amount.test_ways for amount in side.amounts), side.own.test_ways


def _metres(side: Side) -> tuple[Decimal, Decimal]:
    return exact_sum(amount.length_m for amount in side.amounts), side.own.length_m


def _ends(side: Side) -> tuple[Decimal, Decimal]:
    return exact_sum(amount.wire_ends for amount in side.amounts), side.own.wire_ends


def _by_quantity(element: str, terms: Iterable[tuple[str, Counted]], first: Side, second: Side) -> Iterable[Share]:
    """Return the steps of an element that is a sum of rates times quantities."""
    steps: dict[str, Decimal] = {}
    known = [True, True]
    for name, counted in terms:
        rates = (first.rate(name), second.rate(name))
        known = [there and rate is not None for there, rate in zip(known, rates, strict=True)]
        if rates[0] is None or rates[1] is None:
            continue
        (there, own), (other_there, other_own) = counted(first), counted(second)
        scope = other_own - own
        quantity = {"scope": scope, "architecture": other_there - there - scope}
        found = _product_steps(element, quantity, [there, other_there], (rates[0], rates[1]))
        for cause, step in found.items():
            steps[cause] = steps.get(cause, NONE) + step
    amounts = [side.amount(element) if there else None for side, there in zip((first, second), known, strict=True)]
    yield from _settled(element, "", amounts, steps)


def _one_off(first: Side, second: Side) -> Iterable[Share]:
    amounts = [None if side.computed.cost.missing["one_off"] else side.amount("one_off") for side in (first, second)]
    one, other = amounts
    steps = {} if one is None or other is None else {"one_off": other - one}
    yield from _settled("one_off", "", amounts, steps)


def _settled(element: str, what: str, amounts: list[Decimal | None], steps: Mapping[str, Decimal]) -> Iterable[Share]:
    """Return the shares of one element or part so that they add to the difference of its rounded amounts.

    What rounding of the two amounts leaves, less than one unit of their last digit, goes to the largest step. Where an
    amount is unknown on one side, what is known on the other is a share of its own; where it is unknown on both there
    is nothing to split.

    Raises:
        ValueError: The steps are not those of the element, which is a fault of the program.
    """
    first, second = amounts
    if first is None or second is None:
        whole = NONE
        if first is not None:
            whole -= first
        if second is not None:
            whole += second
        if whole:
            yield Share(cause="one_side_unknown", element=element, what=what, amount=whole)
        return
    shares = {cause: step for cause, step in steps.items() if step}
    left = second - first - exact_sum(shares.values())
    if abs(left) > Decimal(1).scaleb(-LINE_DIGITS):
        raise ValueError(f"the steps of {element} {what} do not make up its difference: {left} is left")
    if left:
        largest = max(shares, key=lambda cause: (abs(shares[cause]), -CAUSES.index(cause)), default="architecture")
        shares[largest] = shares.get(largest, NONE) + left
    for cause, step in shares.items():
        yield Share(cause=cause, element=element, what=what, amount=step)
