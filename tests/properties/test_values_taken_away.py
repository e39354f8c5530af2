"""Whatever value is taken away: a figure becomes a bound or a rule undecided, and no finding vanishes in silence."""

from collections import defaultdict
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

import pytest
import yaml

from bomtui.model.part import PART_KINDS
from bomtui.model.proposal import Snapshot
from tests.properties.taking_away import OF_VARIANT, TABLES, Given, Walk, all_values, can_be_unknown
from tests.properties.test_declared_fields import RECORDS
from tests.rules.build import HERE, changed, leaves, snapshot_of
from tests.rules.build import VARIANT as CASE_VARIANT
from tests.samples.rollups import snapshot

SAMPLE = VARIANT = "bench"
"""The subject bench has parts of every kind, and networks, feeds and circuits of most."""

GROUPS = (*PART_KINDS, "vehicle", *TABLES, *OF_VARIANT)

GIVEN_TWICE = {
    ("Load", "rated_power_w"), ("Load", "rated_voltage_v"), ("Load", "test_current_a"), ("Load", "resistance_ohm"),
    ("Part", "gpio_pins"), ("Part", "pwm_pins"), ("Part", "adc_pins"), ("Part", "capture_pins"),
    ("Part", "control_pins"), ("Part", "analog_pins"), ("Part", "mpn"),
}  # fmt: skip
"""One of two data stands in where the other is missing, so figures may become other exact ones: a rating for a current,
pins by function for their plain count, the key of a part for its number."""

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
    found: dict[str, list[Given]] = defaultdict(list)
    for value in all_values(snapshot(SAMPLE), VARIANT):
        table, key = value.path[:2]
        found[snapshot(SAMPLE).parts[key].kind if table == "parts" else _table(value)].append(value)
    return found


def _table(value: Given) -> str:
    return value.path[3] if value.path[1] == "variants" else value.path[1]


def faults(value: Given, walked: Walk) -> list[tuple[object, ...]]:
    """What is wrong when one value is taken away."""
    effect = walked.without(value)
    if value.field in GIVEN_TWICE and not effect.lost:
        return []
    allowed = PROPOSED.get(value.field)
    better = tuple(name for name in effect.better if allowed is None or not name.endswith(allowed))
    return [(".".join(value.path), value.info.name, better, effect.silent)] if better or effect.silent else []


def chosen(group: str, most: int) -> list[Given]:
    """Values of a group, spread evenly over it."""
    values = groups()[group]
    return values[:: max(1, len(values) // most)][:most]


@pytest.mark.parametrize("group", GROUPS)
def test_a_few_values_taken_away_are_missed(group: str) -> None:
    """No figure becomes another exact one, and a finding that vanishes leaves one that names the value."""
    assert [fault for value in chosen(group, FEW) for fault in faults(value, walk())] == []


@pytest.mark.slow
@pytest.mark.parametrize("group", GROUPS)
def test_many_values_taken_away_are_missed(group: str) -> None:
    """The same of many more values of the bench."""
    assert [fault for value in chosen(group, MANY) for fault in faults(value, walk())] == []


@dataclass(frozen=True)
class Case:
    """A case of a rule.

    Attributes:
        rule: The rule.
        change: What the case changes in the base, by tables.
    """

    rule: str
    change: dict[str, Any]

    @cached_property
    def sample(self) -> Snapshot:
        """Proposal and parts of it."""
        return snapshot_of(changed(self.change))

    @cached_property
    def walk(self) -> Walk:
        """The case, computed and reviewed once."""
        return Walk(self.sample, CASE_VARIANT)

    def own_values(self) -> list[Given]:
        """Values that the case itself gives."""
        own = {leaf[:depth] for leaf in leaves(self.change) for depth in range(len(leaf) + 1)}
        return [value for value in all_values(self.sample, CASE_VARIANT) if (*value.path, value.info.key) in own]


@cache
def cases() -> tuple[Case, ...]:
    """Every case of every rule."""
    files = sorted((HERE / "cases").glob("*.yaml"))
    listed = [(path.stem, case) for path in files for case in yaml.safe_load(path.read_text(encoding="utf-8"))]
    return tuple(Case(rule, {key: case[key] for key in ("proposal", "parts") if key in case}) for rule, case in listed)


RULES_WITH_CASES = sorted({path.stem for path in (HERE / "cases").glob("*.yaml")})


@pytest.mark.slow
@pytest.mark.parametrize("rule", RULES_WITH_CASES)
def test_what_a_case_of_a_rule_gives_is_missed(rule: str) -> None:
    """The same of every value that a case of a rule gives: where the rule turns round, nothing falls silent."""
    assert [
        fault
        for case in cases()
        if case.rule == rule
        for value in case.own_values()
        for fault in faults(value, case.walk)
    ] == []


@pytest.mark.slow
def test_every_field_that_can_be_unknown_is_missed_somewhere() -> None:
    """Of each field that is not informational some value, taken away, leaves a bound or a finding."""
    fields = {
        (record.__name__, info.name)
        for record, table in RECORDS.items()
        for info in table
        if can_be_unknown(record, info)
    } - GIVEN_TWICE
    for case in cases():
        fields -= {
            value.field for value in case.own_values() if value.field in fields and case.walk.without(value).shows
        }
    for value in all_values(snapshot(SAMPLE), VARIANT):
        if value.field in fields and walk().without(value).shows:
            fields.discard(value.field)
    assert sorted(fields) == []
