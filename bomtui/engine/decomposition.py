"""Levels of loads that are redundant for one requirement (ISO 26262 decomposition)."""

from collections.abc import Mapping

import msgspec

from bomtui.model.load import Load
from bomtui.model.proposal import Proposal
from bomtui.model.safety import SAFETY_LEVELS
from bomtui.model.vehicle import Decomposition

LAWFUL_SHARES: Mapping[str, frozenset[tuple[str, str]]] = {
    "D": frozenset((("C", "A"), ("B", "B"), ("D", "QM"))),
    "C": frozenset((("B", "A"), ("C", "QM"))),
    "B": frozenset((("A", "A"), ("B", "QM"))),
    "A": frozenset((("A", "QM"),)),
}
"""Pairs of levels to which two independent elements may be built, per level that is asked; either order.

Source: ISO 26262-9 clause 5, decomposition schemes: values from memory.
"""
SCHEME = "ASIL"
"""The one scheme that has such shares; categories of ISO 13849-1 and fault tolerance of IEC 61508 are other matters."""


def is_lawful(asked: str, own: Decomposition) -> bool | None:
    """Tell whether two loads may be built to their levels; None where one of them is not given.

    Args:
        asked: Level that both loads ask for.
        own: The decomposition.
    """
    if own.one_level is None or own.other_level is None:
        return None
    shares = LAWFUL_SHARES.get(asked, frozenset())
    return (own.one_level, own.other_level) in shares or (own.other_level, own.one_level) in shares


def is_recorded(proposal: Proposal, own: Decomposition) -> bool:
    """Tell whether an assumption records that the loads are independent, and nobody has refuted it."""
    recorded = proposal.assumptions.get(own.independence)
    return recorded is not None and recorded.status != "refuted"


def built_to(proposal: Proposal, load_id: str) -> str:
    """Return the level to which a load has to be built: its own, or the share of a decomposition that holds.

    A share counts only where it is lawful and an assumption records why the loads are independent. Of several the
    highest counts.

    Args:
        proposal: The proposal.
        load_id: The load.

    Source: ISO 26262-9 clause 5 (value from memory).
    """
    load = proposal.loads[load_id]
    if load.safety_scheme != SCHEME or not proposal.decompositions:
        return load.safety
    shares = []
    for own in proposal.decompositions.values():
        if load_id not in {own.one, own.other}:
            continue
        level = own.one_level if load_id == own.one else own.other_level
        if level is None or not is_recorded(proposal, own) or not is_lawful(load.safety, own):
            return load.safety
        shares.append(level)
    return max(shares, key=SAFETY_LEVELS.index) if shares else load.safety


def as_built(proposal: Proposal, load_id: str) -> Load:
    """Return a load that asks for the level to which it has to be built."""
    load, level = proposal.loads[load_id], built_to(proposal, load_id)
    return load if level == load.safety else msgspec.structs.replace(load, safety=level)
