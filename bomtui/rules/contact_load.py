"""Contacts that carry too much of a load."""

from collections.abc import Iterator

from bomtui.engine.circuits import LoadCircuit, load_circuits
from bomtui.model.bound import exceeds
from bomtui.model.finding import Verdict
from bomtui.rules.context import Context, Rule, failed, passed, undecided


def ask(context: Context) -> Iterator[Verdict]:
    """The current of a load is more than the contact of its wire carries.

    What it asks:
        For every load with a wire: is the steady current that heats as its own does at most that of its contact,
        derated where many ways of the connector are in use (settings)? A load above a current (settings) takes power
        contacts, any other one way of the signals' connector, unless its placement names a connector. It cannot tell
        where current or contact is not known.

    Why it matters:
        A contact that runs hot loses its spring, runs hotter, and ends in a dark lamp or a burnt header.

    Failing example:
        6 A through a contact of 7 A in a header with nearly all ways in use, which carries 4.9 A.

    Passing example:
        4 A through the same.

    Source:
        Common practice, no source: 70 % where more than 60 % of the ways are in use; currents are data of the parts.
    """
    for own in load_circuits(context.electrics, context.results):
        yield _verdict(own)


def _verdict(own: LoadCircuit) -> Verdict:
    limit = own.contacts.contact_a
    facts = {"module": own.module, "part": own.contacts.part or "its connector"}
    over = exceeds(own.heating_a, limit)
    if over is None:
        return undecided(own.load_id, own.heating_a, limit, "A", **facts)
    if over:
        return failed(own.load_id, own.heating_a, limit, "A", **facts)
    return passed(own.load_id, own.heating_a, limit, "A")


RULE = Rule(
    name="contact.load",
    severity="error",
    failed="{place} draws {measured} through one contact of {module} ({part}), which carries {limit}",
    undecided="{place} draws {measured} through one contact of {module} ({part}), which carries {limit}: whether that"
    " suffices is unknown",
    remedy="Give {place} a power contact or a second way at {module}.",
    ask=ask,
    scope="modules",
)
