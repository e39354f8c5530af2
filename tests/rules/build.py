"""Small vehicles in the words of the proposal file: a base, and what one case changes in it."""

import copy
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from bomtui.engine.rollup import Computed, rollup
from bomtui.model.finding import Review, Verdict
from bomtui.model.part import Part
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.rules.context import Context, Rule, context_of
from bomtui.rules.run import review
from bomtui.storage.problems import Fault
from bomtui.storage.proposal.check import check_references
from bomtui.storage.records import read_record, read_records

HERE = Path(__file__).parent
VARIANT = "V"

Tree = dict[str, Any]


@cache
def _base() -> Tree:
    tree: Tree = yaml.safe_load((HERE / "base.yaml").read_text(encoding="utf-8"))
    return tree


def base() -> Tree:
    """The base vehicle as a tree of tables, the caller's own: `proposal` and `parts`."""
    return copy.deepcopy(_base())


def changed(change: Mapping[str, Any]) -> Tree:
    """The base with the tables of a case merged in; a null takes a key away."""
    tree = base()
    _merge(tree, change)
    return tree


def _merge(tree: Tree, change: Mapping[str, Any]) -> None:
    for key, value in change.items():
        if value is None:
            del tree[key]
        elif isinstance(value, dict) and isinstance(tree.get(key), dict):
            _merge(tree[key], value)
        else:
            tree[key] = _without_nulls(copy.deepcopy(value))


def _without_nulls(value: Any) -> Any:  # noqa: ANN401 - any value of a file
    if isinstance(value, dict):
        return {key: _without_nulls(own) for key, own in value.items() if own is not None}
    return value


def read_tree(tree: Tree) -> tuple[Snapshot | None, list[Fault]]:
    """Read a tree as the program reads its files; no snapshot where there is no proposal in it."""
    faults: list[Fault] = []
    proposal = read_record(Proposal, tree["proposal"], (), faults)
    parts = read_records(Part, tree["parts"], ("parts",), faults)
    if proposal is None:
        return None, faults
    return Snapshot(proposal=check_references(proposal, tree["proposal"], faults), parts=parts), faults


def snapshot_of(tree: Tree) -> Snapshot:
    """Read a tree in which nothing is wrong."""
    snapshot, faults = read_tree(tree)
    assert faults == []
    assert snapshot is not None
    return snapshot


def computed(snapshot: Snapshot) -> Computed:
    """The rollup of the variant."""
    return rollup(snapshot, VARIANT)


def context_for(snapshot: Snapshot) -> Context:
    """What the rules look at."""
    result = computed(snapshot)
    return context_of(snapshot, VARIANT, result.result, result.serving)


def verdicts_of(rule: Rule, snapshot: Snapshot) -> list[Verdict]:
    """Everything that one rule says."""
    return list(rule.ask(context_for(snapshot)))


def review_of(snapshot: Snapshot, rules: tuple[Rule, ...] | None = None) -> Review:
    """The review by all rules, or by some."""
    result = computed(snapshot)
    if rules is None:
        return review(snapshot, VARIANT, result.result, result.serving)
    return review(snapshot, VARIANT, result.result, result.serving, rules)


def leaves(tree: Mapping[str, Any], path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Paths of all values of a tree that are no tables."""
    for key, value in tree.items():
        if isinstance(value, dict):
            yield from leaves(value, (*path, key))
        else:
            yield (*path, key)


def without(tree: Tree, path: tuple[str, ...]) -> Tree:
    """A copy of a tree without one value."""
    tree = copy.deepcopy(tree)
    table = tree
    for key in path[:-1]:
        table = table[key]
    del table[path[-1]]
    return tree
