"""How long the battery keeps a parked vehicle able to start."""

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value
from bomtui.model.settings import Standby
from bomtui.model.vehicle import Vehicle


@formula(
    "capacity_as * (charge_start_ratio - charge_end_ratio) * ageing_ratio",
    "As",
    "usable charge (common practice, no source)",
)
def usable_charge_as(
    capacity_as: float, charge_start_ratio: float, charge_end_ratio: float, ageing_ratio: float
) -> float:
    """Charge that a parked vehicle may use up.

    Args:
        capacity_as: Rated charge [As].
        charge_start_ratio: Charge when parked, over the rated one.
        charge_end_ratio: Charge at which it still starts.
        ageing_ratio: Capacity left in an aged battery.

    Source: common practice, no source.
    """
    return capacity_as * (charge_start_ratio - charge_end_ratio) * ageing_ratio


@formula(
    "capacity_as * self_discharge_ratio / (720 * 3600)",
    "A",
    "self-discharge of a month of 720 h (common practice, no source)",
)
def self_discharge_a(capacity_as: float, self_discharge_ratio: float) -> float:
    """Current that stands for the battery's self-discharge.

    Args:
        capacity_as: Rated charge [As].
        self_discharge_ratio: Share lost in a month of 720 h.

    Source: common practice, no source.
    """
    return capacity_as * self_discharge_ratio / (720 * 3600)


@formula(
    "usable_as / ((standby_a + other_standby_a + self_discharge_a) * 86400)", "d", "charge over current (definition)"
)
def parking_days(usable_as: float, standby_a: float, other_standby_a: float, self_discharge_a: float) -> float:
    """Days for which the parked vehicle stays able to start.

    Args:
        usable_as: Usable charge [As].
        standby_a: Standby current of the modules [A].
        other_standby_a: Standby current of everything else [A].
        self_discharge_a: Self-discharge as a current [A].

    Returns:
        Days of 86,400 s.

    Source: charge over current (definition).
    """
    return usable_as / ((standby_a + other_standby_a + self_discharge_a) * 86400)


def usable_as(calc: Gate, vehicle: Vehicle, settings: Standby) -> Value:
    """Return the charge that the aged battery may lose before the vehicle does not start any more [As]."""
    return calc(
        usable_charge_as,
        capacity_as=vehicle.battery_capacity_as,
        charge_start_ratio=settings.charge_start_ratio,
        charge_end_ratio=settings.charge_end_ratio,
        ageing_ratio=settings.ageing_ratio,
    )


def days_parked(calc: Gate, standby_a: Value, vehicle: Vehicle, settings: Standby) -> Value:
    """Return how many days the parked vehicle lasts on a standby current [A]."""
    usable = usable_as(calc, vehicle, settings)
    lost = calc(
        self_discharge_a,
        capacity_as=vehicle.battery_capacity_as,
        self_discharge_ratio=settings.self_discharge_ratio,
    )
    return calc(
        parking_days,
        usable_as=usable,
        standby_a=standby_a,
        other_standby_a=vehicle.other_standby_a,
        self_discharge_a=lost,
    )
