"""How long a parked vehicle stays able to start in the cold, where a battery gives less."""

from bomtui.engine.battery import days_parked
from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value
from bomtui.model.settings import Settings
from bomtui.model.vehicle import Vehicle


@formula("days * cold_ratio * 86400", "s", "usable charge in proportion to the capacity that is left (common practice)")
def cold_parking_s(days: float, cold_ratio: float) -> float:
    """Time for which a parked vehicle stays able to start in the cold.

    Self-discharge is taken as in the warm: less of it in the cold would leave more.

    Args:
        days: Days in the warm.
        cold_ratio: Capacity in the cold over the rated one.

    Source: common practice; 60 % at -18 degC is a value from memory.
    """
    return days * cold_ratio * 86400


def parked_in_the_cold(calc: Gate, standby_a: Value, vehicle: Vehicle, settings: Settings) -> Value:
    """Return how long the parked vehicle lasts in the cold on a standby current [s].

    Args:
        calc: Gate.
        standby_a: Standby current of all modules [A].
        vehicle: For the battery.
        settings: For charge, ageing, self-discharge and the cold.
    """
    days = days_parked(calc, standby_a, vehicle, settings.standby)
    return calc(cold_parking_s, days=days, cold_ratio=settings.limits.cold_capacity_ratio)
