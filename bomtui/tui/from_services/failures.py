"""What is lost with every single thing of a variant, as the screens show it."""

from collections.abc import Iterator

from bomtui.model.failure import Effect, FailureWalk
from bomtui.model.plain_text import clean
from bomtui.model.proposal import Proposal, Snapshot
from bomtui.services.failures import (
    STAND_IN_CAUTION,
    by_level,
    cause_title,
    common_words,
    effect_lines,
    walk_of,
)
from bomtui.services.present import counted
from bomtui.tui.view import Failure, FailuresView

NO_FAILURES = FailuresView((), (), STAND_IN_CAUTION, ())
WITH_LINES = frozenset(("controller", "device", "module"))
"""Kinds of causes that have a line in the sheet."""


def failures_view(snapshot: Snapshot, variant: str) -> FailuresView:
    """Return what is lost with every single thing of a variant."""
    walk = walk_of(snapshot, variant)
    return FailuresView(
        tuple(_failure(snapshot.proposal, variant, effect) for effect in walk.effects),
        tuple(clean(common_words(own)) for own in walk.common),
        STAND_IN_CAUTION,
        tuple(_unknown(walk)),
    )


def _failure(proposal: Proposal, variant: str, effect: Effect) -> Failure:
    cause = effect.cause
    lost = (*effect.outputs, *effect.inputs)
    possible = (*effect.possible_outputs, *effect.possible_inputs)
    return Failure(
        key=clean(cause.name),
        title=clean(cause_title(proposal, variant, cause)),
        address=cause.id if cause.kind in WITH_LINES else "",
        outputs=len(effect.outputs),
        inputs=len(effect.inputs),
        possible=len(possible),
        level=next(iter(by_level(proposal, (*lost, *possible))), ""),
        lines=tuple((clean(label), clean(text)) for label, text in effect_lines(proposal, effect)),
    )


def _unknown(walk: FailureWalk) -> Iterator[str]:
    if walk.no_feed:
        yield f"no feed is named of {' '.join(walk.no_feed)}"
    if walk.no_ground:
        yield f"no ground point is named of {' '.join(walk.no_ground)}"
    if walk.not_served:
        yield f"no module serves {' '.join(walk.not_served)}"
    if walk.fed_elsewhere:
        yield f"what feeds the battery side of low-side loads is not said: {' '.join(walk.fed_elsewhere)}"
    if walk.no_command_network:
        yield f"{counted(walk.no_command_network, 'load names', 'loads name')} no network over which a command comes"
