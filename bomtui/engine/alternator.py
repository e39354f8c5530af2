"""What the alternator gives against what the vehicle draws, and what the battery loses in an hour of it."""

from bomtui.engine.calc import formula


@formula("alternator_current_a * load_ratio", "A", "reserve of an alternator (common practice, no source)")
def usable_alternator_a(alternator_current_a: float, load_ratio: float) -> float:
    """Current that may be drawn from an alternator with a reserve left.

    Args:
        alternator_current_a: Current that the hot alternator gives [A].
        load_ratio: Share of it that may be used.

    Source: common practice, no source.
    """
    return alternator_current_a * load_ratio


@formula("(supply_current_a - usable_a) * time_s / capacity_as", "", "charge over capacity (definition)")
def deficit_ratio(supply_current_a: float, usable_a: float, time_s: float, capacity_as: float) -> float:
    """Share of the battery that is lost while the vehicle draws more than the alternator gives.

    Args:
        supply_current_a: Mean current of the vehicle [A].
        usable_a: Current that the alternator gives [A].
        time_s: How long [s].
        capacity_as: Rated charge of the battery [As], above 0.

    Source: definition.
    """
    return (supply_current_a - usable_a) * time_s / capacity_as
