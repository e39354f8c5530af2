"""Modules whose networks lead to some of the others only."""

from collections import Counter
from collections.abc import Iterator

from bomtui.engine.networks.reach import modules_on, reached
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, not_applicable, passed, warned
from bomtui.rules.wording import counted


def ask(context: Context) -> Iterator[Verdict]:
    """A module is on a network that no other module bridges to the rest.

    What it asks:
        For every module with a node on a network: does it reach most modules, over its networks and over modules that
        have nodes on two of them, whatever the rates of these are? Where there are two equal halves, it asks for the
        one with the first module. Modules on no network are a matter of `network.missing`.

    Why it matters:
        What is on an island reports no fault to the tester's plug and gets no new software. Two networks of different
        rates touch only in a module that has a transceiver for each.

    Failing example:
        A LIN network of the seats whose commander has no other transceiver.

    Passing example:
        The same network with a commander that is on the CAN network, too.

    Source:
        Common practice, no source.
    """
    first = reached(context.variant)
    on_any = {module_id for network in context.variant.networks.values() for module_id in modules_on(network)}
    sizes = Counter(first[module_id] for module_id in on_any if module_id in first)
    largest = min(sizes, key=lambda group: (-sizes[group], natural_key(group)), default="")
    for module_id in sorted(context.variant.modules, key=natural_key):
        if module_id not in on_any:
            yield not_applicable(module_id)
        elif first[module_id] == largest:
            yield passed(module_id, sizes[largest], sizes[largest])
        else:
            own = counted(sizes[first[module_id]] - 1, "other module", "other modules")
            yield warned(module_id, own, counted(sizes[largest], "module"))


RULE = Rule(
    name="network.island",
    severity="warning",
    failed="{place} reaches {measured}, the largest group of networks joins {limit}",
    undecided="whom {place} reaches is unknown",
    remedy="Give {place}, or a module that it reaches, a node on a network of the others.",
    ask=ask,
)
