"""Loads that a subsystem of its function usually has, and that are not in the list."""

from collections.abc import Iterator

from bomtui.model.completeness import PROMPTS
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed
from bomtui.rules.wording import listed


def ask(context: Context) -> Iterator[Verdict]:
    """A load that such a subsystem usually has is not in the list.

    What it asks:
        For every subsystem that says what its function is, and everything that the trade usually finds in one: does a
        load of it say that it is that? Nothing is guessed from names. A subsystem that does not say its function is not
        asked. Who does not want the load accepts the finding with the reason.

    Why it matters:
        What the customer forgot in the list is wanted in the vehicle, after the channels and pins are counted.

    Failing example:
        Exterior lighting without a plate lamp.

    Passing example:
        Exterior lighting whose load L17 is the plate lamp.

    Source:
        Common practice, no source.
    """
    for subsystem_id in sorted(context.proposal.subsystems, key=natural_key):
        subsystem = context.proposal.subsystems[subsystem_id]
        if not subsystem.function:
            yield not_applicable(f"subsystems.{subsystem_id}")
            continue
        for answer, what in PROMPTS[subsystem.function].items():
            place = f"subsystems.{subsystem_id}.{answer}"
            loads = [
                load_id
                for load_id, load in context.loads.items()
                if load.subsystem == subsystem_id and load.answers == answer
            ]
            if loads:
                yield passed(place, listed(loads), what)
            else:
                yield failed(place, "no load", what, subsystem=subsystem.name or subsystem_id)


RULE = Rule(
    name="scope.asked",
    severity="hint",
    failed="{subsystem}: {measured} is said to be {limit}; is one wanted?",
    undecided="{subsystem}: whether there is {limit} is unknown",
    remedy="Ask the customer; add the load, say of one that it is that, or accept the finding with the reason.",
    ask=ask,
)
