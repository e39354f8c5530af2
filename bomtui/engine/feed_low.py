"""Feeds at the lowest voltage at which everything still works: what takes a constant power draws most there."""

from collections.abc import Mapping

import msgspec

from bomtui.engine.electrics import Electrics
from bomtui.engine.feeds import feed_memo
from bomtui.model.bound import Value
from bomtui.model.limits import levels_of
from bomtui.model.proposal import Snapshot


def low_currents(electrics: Electrics) -> Mapping[str, Value]:
    """Return the steady current of each feed at the lowest voltage [A]; None where that is not known.

    Only modes in which the electronics are awake and the engine is not cranked count.

    Args:
        electrics: Figures beyond the rollup.
    """
    calc, snapshot = electrics.calc, electrics.snapshot
    low_v = lowest_v(electrics)
    if low_v is None:
        return dict.fromkeys(electrics.variant.feeds)
    modes = {
        mode: msgspec.structs.replace(data, supply_low_v=low_v, supply_nominal_v=low_v, supply_high_v=low_v)
        for mode, data in snapshot.proposal.modes.items()
        if data.engine != "cranking"
    }
    proposal = msgspec.structs.replace(snapshot.proposal, modes=modes)
    lowered = Snapshot(proposal=proposal, parts=snapshot.parts, number=snapshot.number)
    draws = Electrics(lowered, electrics.variant_id, electrics.serving, calc).feed_draws
    feeds = feed_memo(calc, lowered, electrics.variant_id, draws).results
    return {feed_id: own.heating_a for feed_id, own in feeds.items()}


def lowest_v(electrics: Electrics) -> float | None:
    """Return the lowest voltage at which everything still works [V]; None where the supply class is not known."""
    proposal = electrics.proposal
    own_v = proposal.settings.levels.low_v
    if own_v is not None:
        return own_v
    usual_v = levels_of(proposal.settings.levels, proposal.vehicle.supply).low_v
    if usual_v is None:
        return None
    known_v: float = electrics.calc.given(usual_v, f"lowest voltage of the supply class {proposal.vehicle.supply}")
    return known_v
