"""LIN networks without a commander, or with several."""

from collections.abc import Iterator

from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed
from bomtui.rules.nets import networks
from bomtui.rules.wording import listed


def ask(context: Context) -> Iterator[Verdict]:
    """A LIN network has no commander, or more than one.

    What it asks:
        For every LIN network: does exactly one of its nodes command the schedule? Other networks are not asked.

    Why it matters:
        Two commanders talk at the same time; without one nobody ever speaks.

    Failing example:
        Two modules that both command the LIN network of the doors between them.

    Passing example:
        One of them commands, the other one answers.

    Source:
        LIN 2.x and ISO 17987, seen second-hand.
    """
    for place, network, _ in networks(context):
        commanders = sorted((key for key, node in network.nodes.items() if node.commander), key=natural_key)
        if network.kind != "LIN":
            yield not_applicable(place)
        elif len(commanders) == 1:
            yield passed(place, 1, 1)
        else:
            yield failed(place, len(commanders), 1, who=listed(commanders))


RULE = Rule(
    name="lin.commander",
    severity="error",
    failed="{place} has {measured} commanders ({who}), a LIN network has {limit}",
    undecided="how many commanders {place} has is unknown",
    remedy="Let one node of {place} command the schedule, and no other one.",
    ask=ask,
)
