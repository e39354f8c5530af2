"""Subsystems whose modules cannot reach each other."""

from collections.abc import Iterator

from bomtui.engine.networks.reach import reached
from bomtui.model.finding import Verdict
from bomtui.model.ids import natural_key
from bomtui.rules.context import Context, Rule, failed, not_applicable, passed, undecided
from bomtui.rules.wording import listed


def ask(context: Context) -> Iterator[Verdict]:
    """A subsystem is divided among modules that no network joins.

    What it asks:
        For every subsystem whose loads are served by several modules: do these reach each other over networks, and over
        modules that have nodes on two of them? It cannot tell where a variant names no network at all. Subsystems in
        one module are not asked.

    Why it matters:
        A lamp in the rear that is switched in front needs a way for the command. Two networks of different rates have
        one only where a module is on both.

    Failing example:
        The lamps in front on a CAN network, those in the rear on a LIN network, and no module on both.

    Passing example:
        The same networks with a module that has a node on each of them.

    Source:
        Common practice, no source.
    """
    first = reached(context.variant)
    homes: dict[str, set[str]] = {subsystem: set() for subsystem in context.proposal.subsystems}
    for load_id, module_id in context.serving.module_of.items():
        homes.setdefault(context.loads[load_id].subsystem, set()).add(module_id)
    for subsystem in sorted(homes, key=natural_key):
        place = f"subsystems.{subsystem}"
        groups = {first[module_id] for module_id in homes[subsystem]}
        names = listed(sorted(homes[subsystem], key=natural_key))
        if len(homes[subsystem]) < 2:
            yield not_applicable(place)
        elif not context.variant.networks:
            yield undecided(place, None, "one group", modules=names)
        elif len(groups) > 1:
            yield failed(place, f"{len(groups)} groups", "one group", modules=names)
        else:
            yield passed(place, "one group", "one group")


RULE = Rule(
    name="network.split",
    severity="error",
    failed="{place} is divided among {modules}, which are {measured} that no network joins",
    undecided="{place} is divided among {modules}, and no network is named",
    remedy="Put the modules of {place} on one network, or let a module with nodes on both networks pass on what it"
    " hears.",
    ask=ask,
)
