"""Times between days of a proposal; nothing here reads a clock."""

import calendar
import datetime

from bomtui.engine.calc import Gate, formula
from bomtui.model.bound import Value
from bomtui.model.vehicle import Vehicle


@formula("days * 86400", "s", "definition of the day")
def days_s(days: float) -> float:
    """Seconds of a number of days.

    Args:
        days: Days.

    Source: definition.
    """
    return days * 86400


@formula("weeks * 604800", "s", "definition of the week")
def weeks_s(weeks: float) -> float:
    """Seconds of a number of weeks.

    Args:
        weeks: Weeks.

    Source: definition.
    """
    return weeks * 604800


def time_between_s(calc: Gate, start: datetime.date | None, end: datetime.date | None) -> Value:
    """Return the time from one day to another [s], less than nothing where the other is earlier; None where unknown."""
    if start is None or end is None:
        return None
    return calc(days_s, days=calc.given(float((end - start).days), f"days from {start} to {end}"))


def lead_time_s(calc: Gate, weeks: int | None) -> Value:
    """Return a lead time [s]; None where unknown."""
    return calc(weeks_s, weeks=None if weeks is None else calc.given(float(weeks), "lead time in weeks"))


def end_of_production(vehicle: Vehicle) -> datetime.date | None:
    """Return the day on which the last year of the programme ends; None where unknown."""
    start, years = vehicle.start_of_production, vehicle.years
    if start is None or years is None or start.year + years > datetime.MAXYEAR:
        return None
    # A programme that starts on a leap day ends on the last of February.
    _, last = calendar.monthrange(start.year + years, start.month)
    return start.replace(year=start.year + years, day=min(start.day, last))
