"""FETs that carry more than their rated current."""

from collections.abc import Iterator

from bomtui.engine.fet_heat import fet_currents
from bomtui.model.bound import Value
from bomtui.model.finding import Need, Verdict
from bomtui.model.ids import Address, natural_key
from bomtui.rules.comparing import worst_of
from bomtui.rules.context import Context, Rule, failed, helped_by, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """A FET of a power stage carries more than its continuous drain current.

    What it asks:
        For every FET of a feed or a load: is its steady current, in the mode in which it is largest, at most the
        continuous drain current of its part? FETs in parallel share it, less a setting for their mismatch. Where
        several loads hang on one FET and may take turns, their sum and the largest of them are held against it. It
        cannot tell where nothing says what the FET carries. Whether
        the FET stays cool at that current is a matter of `heat.junction`.

    Why it matters:
        The bond wires of a package melt before the junction is hot.

    Failing example:
        60 A through a FET for 50 A.

    Passing example:
        60 A through two of them in parallel.

    Source:
        Definition of the continuous drain current; data of the part.
    """
    found: dict[Address, dict[str, Value]] = {}
    for address, mode, current in fet_currents(context.electrics):
        found.setdefault(address, {})[mode] = current
    for address in sorted(found, key=lambda own: natural_key(str(own))):
        yield _verdict(context, address, found[address])


def _verdict(context: Context, address: Address, currents: dict[str, Value]) -> Verdict:
    place, key = str(address), context.variant.modules[address.module].devices[address.device].part
    limit = context.parts[key].drain_current_a
    worst = worst_of(currents, limit)
    facts = {"part": key, "mode": worst.mode}
    if worst.over is None:
        return undecided(place, worst.value, limit, "A", **facts)
    if not worst.over:
        return passed(place, worst.value, limit, "A")
    least = {"drain_current_a": worst.value} if isinstance(worst.value, float) else {}
    return helped_by(failed(place, worst.value, limit, "A", **facts), Need(kinds=("fet",), least=least))


RULE = Rule(
    name="current.fet",
    severity="error",
    failed="{place} ({part}) carries {measured} in {mode}, and is rated {limit}",
    undecided="{place} ({part}) carries {measured} in {mode} and is rated {limit}: whether that suffices is unknown",
    remedy="Choose a FET for more current for {place}, or place more of them in parallel.",
    ask=ask,
    scope="modules",
)
