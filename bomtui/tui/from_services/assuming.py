"""Assumptions and open points as lines of a report."""

from collections.abc import Iterator

from bomtui.model.ids import natural_key
from bomtui.model.proposal import Assumption, Proposal
from bomtui.tui.marks import Mark
from bomtui.tui.report import ReportLine

STATE_MARKS: dict[str, Mark] = {"open": "unknown", "confirmed": "ok", "refuted": "over"}


def assumption_lines(proposal: Proposal) -> Iterator[ReportLine]:
    """Return the assumptions of a proposal, those that are open first."""
    known = sorted(proposal.assumptions.items(), key=lambda own: (own[1].status != "open", natural_key(own[0])))
    still_open = sum(own.status == "open" for _, own in known)
    title = f"assumptions and open points: {len(known)}, {still_open} open"
    yield ReportLine("assumptions", 0, (title,), has_children=bool(known))
    for key, own in known:
        yield ReportLine(
            f"assumption {key}",
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
