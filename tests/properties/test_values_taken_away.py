"""Whatever value is taken away: a figure becomes a bound or a rule undecided, and no finding vanishes in silence."""

from collections import defaultdict
from functools import cache

import pytest

from bomtui.model.part import PART_KINDS
from tests.properties.taking_away import Given, Walk, values_of
from tests.samples.rollups import snapshot

SAMPLE = VARIANT = "bench"
"""The subject bench has parts of every kind, and networks, feeds and circuits of most."""

TABLES = ("zones", "modes", "subsystems", "loads", "pairs", "decompositions")
OF_VARIANT = ("modules", "placements", "feeds", "networks")
GROUPS = (*PART_KINDS, "vehicle", *TABLES, *OF_VARIANT)

GIVEN_TWICE = {
    ("Load", "rated_power_w"), ("Load", "rated_voltage_v"), ("Load", "test_current_a"), ("Load", "resistance_ohm"),
}  # fmt: skip
"""One of two data stands in where the other is missing, so figures may become other exact ones."""

PROPOSED = {("Feed", "fuse_current_a"): ":proposed_area_m2"}
"""Where a fuse is not chosen its wire is proposed for the fuse that is proposed."""

FEW = 2
MANY = 24
"""Values of each group that the quick tests take away, and those of the slow tier."""


@cache
def walk() -> Walk:
    """The bench, computed and reviewed once."""
    return Walk(snapshot(SAMPLE), VARIANT)


@cache
def groups() -> dict[str, list[Given]]:
    """Every value of the bench that could as well be unknown: of parts by kind, of the others by table."""
    sample = snapshot(SAMPLE)
    found: dict[str, list[Given]] = defaultdict(list)
    for key, part in sample.parts.items():
        found[part.kind] += values_of(("parts", key), part)
    found["vehicle"] = list(values_of(("proposal", "vehicle"), sample.proposal.vehicle))
    for table in TABLES:
        for key, record in getattr(sample.proposal, table).items():
            found[table] += values_of(("proposal", table, key), record)
    for table in OF_VARIANT:
        for key, record in getattr(sample.proposal.variants[VARIANT], table).items():
            found[table] += values_of(("proposal", "variants", VARIANT, table, key), record)
    return found


def faults(value: Given) -> list[tuple[object, ...]]:
    """What is wrong when one value is taken away."""
    effect = walk().without(value)
    better = () if value.field in GIVEN_TWICE else effect.better
    allowed = PROPOSED.get(value.field)
    better = tuple(name for name in better if allowed is None or not name.endswith(allowed))
    return [(".".join(value.path), value.info.name, better, effect.silent)] if better or effect.silent else []


def chosen(group: str, most: int) -> list[Given]:
    """Values of a group, spread evenly over it."""
    values = groups()[group]
    return values[:: max(1, len(values) // most)][:most]


@pytest.mark.parametrize("group", GROUPS)
def test_a_few_values_taken_away_are_missed(group: str) -> None:
    """No figure becomes another exact one, and a finding that vanishes leaves one that names the value."""
    assert [fault for value in chosen(group, FEW) for fault in faults(value)] == []


@pytest.mark.slow
@pytest.mark.parametrize("group", GROUPS)
def test_many_values_taken_away_are_missed(group: str) -> None:
    """The same of many more values of the bench."""
    assert [fault for value in chosen(group, MANY) for fault in faults(value)] == []
