"""Every field is read by figures or rules, or declared informational; and what it is declared to be, it is."""

from collections.abc import Callable
from functools import cache

import pytest
import yaml

from bomtui.engine.rollup import rollup
from bomtui.model.base import Base
from bomtui.model.fields import FieldInfo, field_table
from bomtui.model.part import Part
from bomtui.model.programme import Exchange, Programme
from bomtui.model.proposal import Assumption, Info, Proposal, Snapshot
from bomtui.model.variant import Acceptance
from bomtui.rules.run import review
from tests.properties.watched import Seen, watched
from tests.rules.build import HERE, VARIANT, changed, snapshot_of
from tests.samples.rollups import snapshot

OTHERWISE_READ: tuple[type[Base], ...] = (Info, Programme, Exchange, Assumption, Acceptance)
"""Records that comparisons, costs over years and artefacts read, not the rollup and the review of one variant."""

CASES = (
    "alternator.deficit", "chips.pooled", "crank.voltage", "diagnosis.coverage", "filament.life", "life.cycle",
    "price.old", "reserve.pins", "standin.command", "supply.dropout", "wetting.low",
)  # fmt: skip
"""Rules of which the cases need what no part or load of the subject bench has."""

LARGEST_SHARE = 0.1


def _records() -> dict[type[Base], tuple[FieldInfo, ...]]:
    """Record types of a proposal and its parts, with their fields."""
    found: dict[type[Base], tuple[FieldInfo, ...]] = {}
    waiting: list[type[Base]] = [Proposal, Part]
    while waiting:
        record = waiting.pop()
        if record not in found and record not in OTHERWISE_READ:
            found[record] = field_table(record)
            waiting.extend(
                info.record for info in found[record] if info.record is not None and info.shape in ("record", "records")
            )
    return found


RECORDS = _records()
INFORMATIONAL = {
    (record.__name__, info.name) for record, table in RECORDS.items() for info in table if info.informational
}


def _looked_at(sample: Snapshot, variant: str, seen: Seen) -> None:
    own = watched(sample, seen)
    computed = rollup(own, variant)
    found = review(own, variant, computed.result, computed.serving, outputs=computed.modules)
    assert [finding for finding in found.findings if finding.rule == "rule.failed"] == []


@cache
def _seen_on_the_bench() -> frozenset[tuple[str, str]]:
    seen: Seen = set()
    _looked_at(snapshot("bench"), "bench", seen)
    return frozenset(seen)


@cache
def _seen_in_cases() -> frozenset[tuple[str, str]]:
    seen: Seen = set()
    for name in CASES:
        for case in yaml.safe_load((HERE / "cases" / f"{name}.yaml").read_text(encoding="utf-8")):
            change = {table: case[table] for table in ("proposal", "parts") if table in case}
            _looked_at(snapshot_of(changed(change)), VARIANT, seen)
    return frozenset(seen)


@pytest.mark.slow
@pytest.mark.parametrize("seen", [_seen_on_the_bench, _seen_in_cases], ids=["bench", "cases"])
def test_what_is_informational_is_not_read(seen: Callable[[], frozenset[tuple[str, str]]]) -> None:
    """Neither figures nor rules look at a field that is declared informational."""
    assert sorted(INFORMATIONAL & seen()) == []


@pytest.mark.slow
def test_what_is_not_informational_is_read() -> None:
    """Figures or rules look at each field that is not declared informational: on the bench, or in a case of a rule."""
    seen = _seen_on_the_bench() | _seen_in_cases()
    declared = {(record.__name__, info.name) for record, table in RECORDS.items() for info in table}
    assert sorted(declared - INFORMATIONAL - seen) == []


def test_few_parameters_are_informational() -> None:
    """Under a tenth of all values that a proposal and its parts can hold are for people only; free text is no value."""
    values = {
        (record.__name__, info.name)
        for record, table in RECORDS.items()
        for info in table
        if info.shape not in ("text", "texts") or info.refers_to
    }
    assert len(values & INFORMATIONAL) < LARGEST_SHARE * len(values)
