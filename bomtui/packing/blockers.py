"""Why two drivers are not one: the fewest reasons, with numbers, of the part that comes nearest.

Of every part each ground is asked by itself: whether it serves all the loads, its channels, its heat, what is kept
apart. A load takes one fixed amount of a part, so that what is said is exact, never the failure of a quick try.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import combinations

from bomtui.model.money import LINE_DIGITS
from bomtui.model.quantity import display
from bomtui.packing.offer import Offer
from bomtui.packing.problem import CHANNELS, Filled, Problem, cost_of, counts_of
from bomtui.packing.rooms import MICRO

NO_SAVING = "no saving"


@dataclass(frozen=True, slots=True)
class Blocked:
    """Two drivers that do not become one.

    Attributes:
        what: Their addresses and parts.
        part: Part that comes nearest; empty where none serves all of the loads.
        reason: Why not, with the numbers.
        short: What is short, by name: channels, watts, money.
    """

    what: str
    part: str
    reason: str
    short: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class _Ground:
    """One reason against a part: what is said, how much is short of what."""

    words: str
    name: str
    short: float
    share: float


def blocked(offer: Offer) -> tuple[Blocked, ...]:
    """Say of every two drivers that serve loads why they do not become one; nothing where they could.

    Args:
        offer: The problem.
    """
    problem, places = offer.problem, dict(zip(offer.at, offer.now, strict=True))
    found = []
    for (address, one), (other_address, other) in combinations(places.items(), 2):
        if not (one.loads and other.loads):
            continue
        names = f"{address} ({problem.chips[one.chip].name}) and {other_address} ({problem.chips[other.chip].name})"
        if problem.chips[one.chip].place != problem.chips[other.chip].place:
            own = _in_two_modules(offer, names, one, other)
        else:
            own = _why(offer, names, one, other)
        if own is not None:
            found.append(own)
    return tuple(found)


def _in_two_modules(offer: Offer, names: str, one: Filled, other: Filled) -> Blocked | None:
    """Say of two chips of one part that would have channels enough, and stand in two modules, that this keeps them."""
    chips, places = offer.problem.chips, offer.problem.places
    part = chips[one.chip].name
    needed = sum(
        offer.problem.alike[number].ways[way].takes[CHANNELS] for filled in (one, other) for number, way in filled.loads
    )
    if part != chips[other.chip].name or needed > chips[one.chip].rooms[CHANNELS]:
        return None
    modules = [places[chips[filled.chip].place] for filled in (one, other)]
    zones = [offer.zones[module] for module in modules]
    where = f"{modules[0]} in {zones[0]} and {modules[1]} in {zones[1]}"
    hint = "only together with their modules" if zones[0] == zones[1] else "two zones"
    return Blocked(names, part, f"they stand in two modules, {where}: {hint}", {"modules": 1.0})


def _why(offer: Offer, names: str, one: Filled, other: Filled) -> Blocked | None:
    problem = offer.problem
    numbers = [number for number, _ in (*one.loads, *other.loads)]
    place = problem.chips[one.chip].place
    ranked: list[tuple[int, float, int, list[_Ground]]] = []
    for index, chip in enumerate(problem.chips):
        if chip.place != place:
            continue
        grounds = list(_grounds(offer, index, numbers))
        grounds = grounds or list(_money(offer, index, one, other))
        if not grounds:
            return None
        ranked.append((len(grounds), max(own.share for own in grounds), index, grounds))
    if not ranked:
        return None
    _, _, index, grounds = min(ranked, key=lambda own: own[:3])
    return Blocked(
        names,
        problem.chips[index].name,
        f"on one {problem.chips[index].name}: " + "; ".join(own.words for own in grounds),
        {own.name: own.short for own in grounds},
    )


def _grounds(offer: Offer, index: int, numbers: Sequence[int]) -> Iterator[_Ground]:
    """Yield every ground against one chip for all the loads."""
    problem = offer.problem
    chip = problem.chips[index]
    ways = {number: next((way for way in problem.alike[number].ways if way.chip == index), None) for number in numbers}
    strange = sorted({problem.alike[number].loads[0] for number, way in ways.items() if way is None or not way.sure})
    if strange:
        yield _Ground(f"it does not serve {', '.join(strange)}", "loads", float(len(strange)), 10.0 * len(strange))
    takes = [way.least for number in numbers if (way := ways[number]) is not None]
    for resource, room in enumerate(chip.loosest):
        need = sum(own[resource] for own in takes)
        if need > room:
            yield _short(offer, index, resource, need, room)
    together = {(low, high) for low in numbers for high in numbers if low < high}
    for low, high in sorted(together & set(problem.apart)):
        pair = f"{problem.alike[low].loads[0]} and {problem.alike[high].loads[0]}"
        yield _Ground(f"{pair} must stay apart", "apart", 1.0, 1.0)


def _short(offer: Offer, index: int, resource: int, need: int, room: int) -> _Ground:
    over = (need - room) / max(room, 1)
    if resource == CHANNELS:
        return _Ground(f"needs {need} channels, has {room}", "channels", float(need - room), over)
    name = offer.resources[index][resource]
    needed, there, short = (own / MICRO for own in (need, room, need - room))
    words = f"{name} {_watts(needed)} over {_watts(there)}, {_watts(short)} too much"
    return _Ground(words, name, short, over)


def _watts(power: float) -> str:
    return display(power, "power", digits=3, unicode=False)


def _money(offer: Offer, index: int, one: Filled, other: Filled) -> Iterator[_Ground]:
    """Yield that one chip in place of two saves nothing."""
    problem, start = offer.problem, offer.now
    loads = []
    for number, _ in (*one.loads, *other.loads):
        way = next(place for place, own in enumerate(problem.alike[number].ways) if own.chip == index)
        loads.append((number, way))
    rest = [own for own in start if own is not one and own is not other]
    more = _cost(problem, [*rest, Filled(index, tuple(sorted(loads)))]) - _cost(problem, start)
    if more >= 0:
        is_money = offer.unit not in ("driver devices", "nA")
        amount = Decimal(more).scaleb(-LINE_DIGITS) if is_money else Decimal(more)
        yield _Ground(f"no saving: it costs {amount:f} {offer.unit} more", NO_SAVING, float(amount), 0.0)


def _cost(problem: Problem, packing: Sequence[Filled]) -> int:
    return cost_of(problem, counts_of(problem, tuple(packing)))
