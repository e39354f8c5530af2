"""Rules that are asked of modules group by group, and answers that are kept from review to review."""

import datetime
from collections import Counter
from collections.abc import Iterable, Iterator
from operator import is_

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomtui.edit.edit import apply
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.placement import TakeOff
from bomtui.engine.rollup import Computed, rollup
from bomtui.model.finding import Verdict
from bomtui.model.proposal import Snapshot
from bomtui.model.variant import Placement
from bomtui.rules.context import Context, Rule, context_of, failed, passed
from bomtui.rules.memo import Memo
from bomtui.rules.registry import RULES
from bomtui.rules.run import FAILED_RULE, StoppedError, review
from bomtui.rules.shares import context_in, shares_of
from bomtui.rules.wording import printed
from bomtui.services.editing import accepted
from tests.edit.random_edits import random_history
from tests.generated import generated_snapshot
from tests.properties.varied import with_fields, with_fitment, with_groups
from tests.samples.rollups import snapshot as sample
from tests.strategies import snapshots

BY_GROUPS = tuple(rule for rule in RULES if rule.scope == "modules")
SAMPLES = ("sweeper", "van", "bench")
STEPS = 8


def answers(verdicts: Iterable[Verdict]) -> Counter[bytes]:
    """Verdicts as a bag: their order says nothing."""
    return Counter(msgspec.msgpack.encode(_plain(verdict)) for verdict in verdicts)


def _plain(verdict: Verdict) -> tuple[object, ...]:
    numbers = (printed(verdict.measured, verdict.unit), printed(verdict.limit, verdict.unit))
    facts = sorted(verdict.facts.items())
    return verdict.place, verdict.outcome, verdict.severity, *numbers, facts, repr(verdict.need)


def across_modules(start: Snapshot) -> Snapshot:
    """The vehicle with every fifth placed load on a channel of another module, too."""
    variants = {}
    for key, variant in start.proposal.variants.items():
        others = [address for own in variant.placements.values() for address in own.on if "." in address]
        placements: dict[str, Placement] = {}
        for number, (load_id, own) in enumerate(variant.placements.items()):
            more = others[(number * 7) % len(others)] if others and not number % 5 else ""
            placements[load_id] = with_fields(own, on=tuple(dict.fromkeys((*own.on, *([more] if more else ())))))
        variants[key] = with_fields(variant, placements=placements)
    return Snapshot(proposal=with_fields(start.proposal, variants=variants), parts=start.parts)


def check_asked_by_groups(snapshot: Snapshot) -> None:
    """Rules that are asked group by group say just what they would say of the whole variant."""
    for variant in snapshot.proposal.variants:
        computed = rollup(snapshot, variant)
        context = context_of(snapshot, variant, computed.result, computed.serving, computed.modules)
        shares = shares_of(context, computed.modules)
        assert sorted(name for share in shares for name in share.modules) == sorted(context.variant.modules)
        assert sorted({*context.loads, *context.variant.placements}) == sorted(
            load for share in shares for load in share.loads
        )
        parts = [context_in(share, context, computed.modules) for share in shares]
        for rule in BY_GROUPS:
            assert answers(rule.ask(context)) == answers(v for part in parts for v in rule.ask(part)), rule.name


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("is_tied", [False, True], ids=["as it is", "across modules"])
def test_asked_by_groups_a_sample_is_asked_as_a_whole(name: str, *, is_tied: bool) -> None:
    """Also where loads tie modules together, and where they are not in every vehicle and in groups."""
    snapshot = sample(name)
    check_asked_by_groups(across_modules(snapshot) if is_tied else snapshot)
    varied = with_groups(with_fitment(snapshot, 1), 2)
    check_asked_by_groups(across_modules(varied) if is_tied else varied)


@given(snapshots(), st.booleans())
@settings(max_examples=10)
def test_asked_by_groups_any_vehicle_is_asked_as_a_whole(snapshot: Snapshot, is_tied: bool) -> None:
    """The same over vehicles of every shape."""
    check_asked_by_groups(across_modules(snapshot) if is_tied else snapshot)


def check_reviewed_as_from_nothing(line: Iterable[Snapshot], variant: str) -> None:
    """A review that keeps answers finds what one without any memory finds."""
    memo, computed = Memo(), None
    for snapshot in line:
        if variant not in snapshot.proposal.variants:
            break
        computed = rollup(snapshot, variant, computed)
        assert reviewed(computed, memo) == reviewed(computed, None)


def reviewed(computed: Computed, memo: Memo | None) -> object:
    """The review of a variant, with or without the answers of former ones."""
    asked = (computed.snapshot, computed.result.variant, computed.result, computed.serving)
    return review(*asked, outputs=computed.modules, memo=memo)


@given(snapshots(), st.integers(0, 2**32))
@settings(max_examples=5)
def test_kept_answers_are_those_that_would_be_given_anew(start: Snapshot, seed: int) -> None:
    """After edits of every kind and back again a review with kept answers is the one from nothing."""
    history, _ = random_history(seed, start, STEPS)
    line = [*[step.before for step in history.done], history.current]
    for variant in start.proposal.variants:
        check_reviewed_as_from_nothing([*line, *reversed(line[::3])], variant)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.slow
def test_kept_answers_of_a_sample_are_those_that_would_be_given_anew(seed: int) -> None:
    """The same over a whole vehicle."""
    history, _ = random_history(seed, sample("sweeper"), STEPS)
    line = [*[step.before for step in history.done], history.current]
    check_reviewed_as_from_nothing([*line, line[0]], "zone")


def counting(asked: list[int]) -> Rule:
    """A rule of modules that notes of how many loads it is asked, and passes them all."""

    def ask(context: Context) -> Iterator[Verdict]:
        asked.append(len(context.loads))
        yield from (passed(load_id) for load_id in context.loads)

    return Rule("load.counted", "hint", "{place}", "{place}", "-", ask, scope="modules")


def test_an_edit_of_one_load_asks_about_its_module_only() -> None:
    """Answers about all other modules stay, and what is counted is the whole vehicle all the same."""
    asked: list[int] = []
    rules, memo = (counting(asked),), Memo()
    start = generated_snapshot(52, 13)
    before = rollup(start, "only")
    review(start, "only", before.result, before.serving, rules, before.modules, memo=memo)
    assert sorted(asked) == [0, 13, 13, 13, 13]
    asked.clear()
    after = apply(SetField(place="loads.L20.test_current", value=1.25), start)
    assert isinstance(after, Snapshot)
    computed = rollup(after, "only", before)
    found = review(after, "only", computed.result, computed.serving, rules, computed.modules, memo=memo)
    assert (asked, found.counts[0].passed) == ([13], 52)


def test_an_edit_of_a_load_without_a_place_asks_about_such_loads_only() -> None:
    """What no module serves is a group of its own."""
    asked: list[int] = []
    rules, memo = (counting(asked),), Memo()
    start = apply(TakeOff(variant="only", loads=("L20",)), generated_snapshot(52, 13))
    assert isinstance(start, Snapshot)
    before = rollup(start, "only")
    review(start, "only", before.result, before.serving, rules, before.modules, memo=memo)
    assert sorted(asked) == [1, 12, 13, 13, 13]
    asked.clear()
    after = apply(SetField(place="loads.L20.kind", value="switch"), start)
    assert isinstance(after, Snapshot)
    computed = rollup(after, "only", before)
    review(after, "only", computed.result, computed.serving, rules, computed.modules, memo=memo)
    assert asked == [1]


def test_a_kept_finding_is_accepted_and_open_again() -> None:
    """An acceptance needs no rule to be asked again."""
    start = sample("sweeper")
    before = rollup(start, "zone")
    memo = Memo()
    first = review(start, "zone", before.result, before.serving, outputs=before.modules, memo=memo)
    answered = dict(memo.known)
    rules = {rule.name for rule in BY_GROUPS}
    finding = next(own for own in first.findings if own.rule in rules)
    edit = accepted("zone", finding, "a reason", "me", datetime.date(2026, 1, 2))
    after = apply(edit, start)
    assert isinstance(after, Snapshot)
    computed = rollup(after, "zone", before)
    second = review(after, "zone", computed.result, computed.serving, outputs=computed.modules, memo=memo)
    assert [(own.rule, own.place) for own in second.findings if own.status == "accepted"] == [
        (finding.rule, finding.place)
    ]
    assert all(map(is_, answered.values(), memo.known.values()))
    assert review(start, "zone", before.result, before.serving, outputs=before.modules, memo=memo) == first


def test_a_rule_of_modules_cannot_reach_the_vehicle() -> None:
    """Such a rule breaks off rather than comparing one module with the figures of all of them."""

    def ask(context: Context) -> Iterator[Verdict]:
        yield failed("M", context.rollup.standby_a.max)

    rule = Rule("vehicle.asked", "hint", "{place}", "{place}", "-", ask, scope="modules")
    start = generated_snapshot(13, 13)
    computed = rollup(start, "only")
    found = review(start, "only", computed.result, computed.serving, (rule,))
    assert [own.rule for own in found.findings] == [FAILED_RULE]
    assert "figures of the vehicle" in found.findings[0].message


def test_a_review_that_is_stopped_keeps_what_was_answered() -> None:
    """The next review goes on from there."""
    asked: list[int] = []
    rules, memo = (counting(asked),), Memo()
    start = generated_snapshot(52, 13)
    computed = rollup(start, "only")
    left = [20]

    def is_wanted() -> bool:
        left[0] -= 1
        return left[0] > 0

    with pytest.raises(StoppedError):
        review(start, "only", computed.result, computed.serving, rules, is_wanted=is_wanted, memo=memo)
    assert asked == [13, 13]
    asked.clear()
    review(start, "only", computed.result, computed.serving, rules, memo=memo)
    assert sorted(asked) == [0, 13, 13, 13]
