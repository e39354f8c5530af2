"""Loads that are never on together, and loads that are always on together: what they do to the largest currents.

Of an exclusive group only its largest member counts, and what starts in it replaces that member. The loads of a
together group start at once. Loads of one exclusive group that a together group joins count as one member of it. Where
a together group has loads in several exclusive groups, each of these still counts its own largest member: the result
is then an upper bound of what can be on.

Mean currents know no groups: the time shares say already what is on when.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bomtui.engine.calc import Gate, exact_of
from bomtui.engine.load_current import inrush_a
from bomtui.model.bound import Value
from bomtui.model.load import Load


@dataclass(frozen=True, slots=True)
class Grouped:
    """A load of a group that is, or may be, on in a mode.

    Attributes:
        load_id: Id of the load.
        load: The load, for its groups.
        on_a: Its on-current; None where it, or whether it is on, is not known.
        inrush_a: Its inrush above that.
    """

    load_id: str
    load: Load
    on_a: Value
    inrush_a: Value


@dataclass(frozen=True, slots=True)
class OnCurrents:
    """What the loads of one place draw while they are on in a mode, those of groups one by one.

    Attributes:
        alone_a: On-current of all loads of no group together.
        alone_inrush_a: Largest inrush of one of them.
        grouped: Loads of groups.
    """

    alone_a: Value
    alone_inrush_a: Value
    grouped: tuple[Grouped, ...] = ()


@dataclass(frozen=True, slots=True)
class _Member:
    """Loads that are on together, in one exclusive group or in none.

    Attributes:
        name: Load, or together group.
        exclusive: Their exclusive group; empty for none.
        on_a: Their on-currents together.
        inrush_a: Their inrush together.
    """

    name: str
    exclusive: str
    on_a: Value
    inrush_a: Value


def largest_on(calc: Gate, keys: Sequence[str], places: Sequence[OnCurrents]) -> tuple[Value, Value]:
    """Return the largest on-current of several places together [A], and the largest inrush above it [A].

    A group may have loads in several places, so that this can be less than the sum of what each place needs by itself.

    Args:
        calc: Gate.
        keys: Name of each place.
        places: What is on in each of them.

    Source: common practice: one inrush at a time, a together group being one; groups as the customer gives them.
    """
    alone = [place.alone_a for place in places]
    alone_inrush = [place.alone_inrush_a for place in places]
    members = _members(calc, [load for place in places for load in place.grouped])
    if not members:
        return calc.total(keys, alone), calc.largest(keys, alone_inrush)
    groups: dict[str, list[_Member]] = {}
    for member in members:
        if member.exclusive:
            groups.setdefault(member.exclusive, []).append(member)
    counted = {group: _largest(calc, own) for group, own in groups.items()}
    names = [f"largest of exclusive group {group}" for group in counted]
    free = [member for member in members if not member.exclusive]
    on_a = calc.total(
        [*keys, *names, *[member.name for member in free]],
        [*alone, *counted.values(), *[member.on_a for member in free]],
    )
    starts: dict[str, list[Value]] = {}
    for member in members:
        above_a = member.inrush_a
        if member.exclusive:
            peak_a = calc.total(("on", "inrush"), (member.on_a, member.inrush_a))
            above_a = calc(inrush_a, peak_a=peak_a, on_current_a=counted[member.exclusive])
        starts.setdefault(member.name, []).append(above_a)
    terms = [
        own[0] if len(own) == 1 else calc.total([f"{name}, part {row}" for row in range(1, len(own) + 1)], own)
        for name, own in starts.items()
    ]
    return on_a, calc.largest([*keys, *starts], [*alone_inrush, *terms])


def _largest(calc: Gate, members: Sequence[_Member]) -> Value:
    names, values = [member.name for member in members], [member.on_a for member in members]
    # A single unknown term is a bound that names it, as among several.
    return calc.largest(names, values) if len(members) > 1 else calc.total(names, values)


def _members(calc: Gate, loads: Iterable[Grouped]) -> list[_Member]:
    joined: dict[tuple[str, str], list[Grouped]] = {}
    for own in loads:
        name = f"together group {own.load.together_group}" if own.load.together_group else own.load_id
        joined.setdefault((name, own.load.exclusive_group), []).append(own)
    members = []
    for (name, exclusive), own_loads in joined.items():
        ids = [own.load_id for own in own_loads]
        on, inrush = [own.on_a for own in own_loads], [own.inrush_a for own in own_loads]
        if len(ids) == 1:
            members.append(_Member(name, exclusive, on[0], inrush[0]))
        else:
            members.append(_Member(name, exclusive, calc.total(ids, on), calc.total(ids, inrush)))
    return members


def exclusive_share(calc: Gate, loads: Mapping[str, Load], mode: str) -> tuple[Decimal, list[str]]:
    """Return the share of a mode that the loads of one exclusive group take one after the other, as far as it is known.

    Loads that a together group joins take their time once, the longest of theirs.

    Args:
        calc: Gate.
        loads: Loads of the group by id.
        mode: Id of the mode.

    Returns:
        The sum of the known shares, exact, and the loads of which none is given.
    """
    longest: dict[str, Decimal] = {}
    unknown = []
    for load_id, load in loads.items():
        share = load.time_share_ratio.get(mode)
        if share is None:
            unknown.append(load_id)
            continue
        exact = exact_of(calc, share, f"loads.{load_id}.time_share.{mode}")
        # No id begins with a space, so that a group's name is taken for no load's.
        name = f" {load.together_group}" if load.together_group else load_id
        longest[name] = max(exact, longest.get(name, exact))
    return calc.counted(longest, f"time share in {mode}"), unknown
