"""What single failures take with them in two variants, as measures."""

from collections.abc import Collection, Iterator

from bomtui.engine.calc import PLAIN
from bomtui.engine.failure_walk import failure_walk
from bomtui.model.bound import Range, Value, unknown_names
from bomtui.model.failure import CauseKind, CommonCauses, Effect, FailureWalk
from bomtui.services.measure_row import Row
from bomtui.services.rollup import Computed

_LOST_WITH: tuple[tuple[str, str, frozenset[CauseKind]], ...] = (
    ("lost_with_device", "lost with a chip", frozenset(("controller", "device"))),
    ("lost_with_module", "lost with a module", frozenset(("module",))),
    ("lost_with_feed", "lost with a feed", frozenset(("feed",))),
    ("lost_with_ground", "lost with a ground", frozenset(("ground",))),
)


def failure_rows(one: Computed, other: Computed) -> Iterator[Row]:
    """Yield the measures of single failures of two variants: inputs count as loads do, stand-ins do not help."""
    first, second = (failure_walk(side.opened.snapshot, side.variant) for side in (one, other))
    for key, name, kinds in _LOST_WITH:
        yield Row(key, name, "count", _most_lost(first, kinds), _most_lost(second, kinds))
    yield Row("shared_pairs", "pairs, one cause", "count", _sharing(first), _sharing(second))


def _most_lost(walk: FailureWalk, kinds: Collection[CauseKind]) -> Value:
    """Return the loads lost with the worst cause of some kinds; unknown where no such cause is named at all."""
    lost = {effect.cause.name: _lost(effect) for effect in walk.effects if effect.cause.kind in kinds}
    if not lost:
        return None
    most = PLAIN.largest(list(lost), list(lost.values()))
    if not isinstance(most, Range):
        return most
    # What is open about lesser causes decides nothing.
    rivals = [own for own in lost.values() if isinstance(own, Range) and own.high > most.low]
    return Range(most.low, most.high, unknown_names(*rivals)) if rivals else most.low


def _lost(effect: Effect) -> Value:
    return _bounded(len(effect.outputs) + len(effect.inputs), (*effect.possible_outputs, *effect.possible_inputs))


def _sharing(walk: FailureWalk) -> Value:
    sure = [own for own in walk.common if own.shared]
    return _bounded(len(sure), [own.pair for own in walk.common if not own.shared and _is_open(own)])


def _is_open(own: CommonCauses) -> bool:
    return bool(own.possible or own.open_kinds)


def _bounded(sure: int, possible: Collection[str]) -> Value:
    """Return a count of which some are not known to belong to it."""
    return Range(float(sure), float(sure + len(possible)), frozenset(possible)) if possible else float(sure)
