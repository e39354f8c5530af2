"""Hints after one step against packing the same loads anew without a solver; `-s` shows the figures."""

import time

from bomtui.edit.edit import apply
from bomtui.edit.edits.field import SetField
from bomtui.engine.rollup import rollup
from bomtui.model.proposal import Snapshot
from bomtui.packing.greedy import greedy
from bomtui.packing.hints import hints
from bomtui.packing.offer import Request, offer_of
from bomtui.rules.run import review
from tests.generated import generated_snapshot

LOADS = 500
SHARE = 100
TIMES = 20


def test_hints_after_one_step_beside_packing_anew() -> None:
    """Hints about the module that a step has touched take at most 1/100 of the greedy packing of all 500 loads."""
    snapshot = generated_snapshot(LOADS, 50)
    (variant,) = snapshot.proposal.variants
    before = rollup(snapshot, variant)
    found = review(snapshot, variant, before.result, before.serving, outputs=before.modules)
    problem = offer_of(before, found.findings, snapshot.parts, Request(tuple(before.result.modules))).problem
    begin = time.perf_counter()
    assert greedy(problem) is not None
    greedy_s = time.perf_counter() - begin
    load_id = next(iter(snapshot.proposal.loads))
    after = apply(SetField(place=f"loads.{load_id}.name", value="x"), snapshot)
    assert isinstance(after, Snapshot)
    now = rollup(after, variant, before)
    touched = [
        module for module in now.result.modules if now.result.modules[module] is not before.result.modules[module]
    ]
    touched = touched or [before.serving.module_of[load_id]]
    begin = time.perf_counter()
    for _ in range(TIMES):
        hints(after, variant, now.result.modules, now.serving, touched)
    hints_s = (time.perf_counter() - begin) / TIMES
    print(  # noqa: T201 - what a benchmark is for
        f"\n{LOADS} loads in {len(before.result.modules)} modules: greedy {greedy_s * 1e3:.1f} ms,"
        f" hints of {len(touched)} module {hints_s * 1e3:.3f} ms, 1/{greedy_s / hints_s:.0f}"
    )
    assert hints_s * SHARE <= greedy_s
