"""What a variant costs over its programme, year by year."""

from decimal import Decimal

from bomtui.model.base import Base
from bomtui.model.money import Total


class Year(Base, frozen=True):
    """One year of the programme.

    Attributes:
        name: Calendar year, or `year 1` where none is given.
        volume: Vehicles built.
        price: Price of a vehicle: rungs of the year's need, work after learning, one-off cost amortised, price-down.
        paid: Price times volume.
        stock: Money in pieces left at the end of the year, at that year's unit prices.
    """

    name: str
    volume: int
    price: Total
    paid: Total
    stock: Total


class Lifetime(Base, frozen=True):
    """A programme as a whole.

    Attributes:
        years: Its years in order.
        vehicles: Vehicles built in all of them.
        total: What all vehicles cost together.
        mean_price: Price of a vehicle, weighted by volumes.
        present_value: Present value of what is paid at the end of each year; None where no interest is given.
        one_off: One-off cost as a whole; None where unknown.
        one_off_per_vehicle: The same over all vehicles; None where unknown.
        paid_once: What all vehicles cost together where the one-off cost is paid apart at the start.
        paid_once_present_value: Present value of that; None where no interest is given.
        convention: Which cost the learning ratio is said of.
    """

    years: tuple[Year, ...]
    vehicles: int
    total: Total
    mean_price: Decimal
    present_value: Total | None
    one_off: Decimal | None
    one_off_per_vehicle: Decimal | None
    paid_once: Total
    paid_once_present_value: Total | None
    convention: str
