"""Assumptions and open points as lines of a report."""

from collections.abc import Iterator, Mapping

from bomtui.model.ids import natural_key
from bomtui.model.proposal import Assumption, Proposal
from bomtui.tui.marks import Mark
from bomtui.tui.report import ReportLine

STATE_MARKS: dict[str, Mark] = {"open": "unknown", "confirmed": "ok", "refuted": "over"}


def assumption_lines(proposal: Proposal, beside: Proposal | None = None) -> Iterator[ReportLine]:
    """Return the assumptions of a proposal, those that are open first.

    Args:
        proposal: The proposal.
        beside: Another revision of it, of which what it has alone, or otherwise, is listed as that of the first side.
    """
    yield from _listed("assumptions", "assumptions and open points", proposal.assumptions)
    others = {} if beside is None else beside.assumptions
    alone = {key: own for key, own in others.items() if proposal.assumptions.get(key) != own}
    if alone:
        yield from _listed("first assumptions", "of the first side only, or otherwise there", alone)


def _listed(name: str, words: str, assumptions: Mapping[str, Assumption]) -> Iterator[ReportLine]:
    known = sorted(assumptions.items(), key=lambda own: (own[1].status != "open", natural_key(own[0])))
    still_open = sum(own.status == "open" for _, own in known)
    yield ReportLine(name, 0, (f"{words}: {len(known)}, {still_open} open",), has_children=bool(known))
    for key, own in known:
        yield ReportLine(
            f"{name} {key}",
            1,
            (f"{key} {own.text}",),
            mark=STATE_MARKS[own.status],
            word=own.status,
            sentence="; ".join((own.text, *_facts(own))),
        )


def _facts(own: Assumption) -> Iterator[str]:
    yield f"owner {own.owner}" if own.owner else "no owner"
    yield f"due {own.due}" if own.due is not None else "no due date"
    cost = "" if own.effect_cost is None else f"{own.effect_cost.amount:f} {own.effect_cost.currency} a vehicle"
    effect = ", ".join(filter(None, (own.effect, cost)))
    yield f"if wrong: {effect}" if effect else "effect if wrong not given"
