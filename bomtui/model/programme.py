"""The programme: what the price is held against, how it runs over the years, and what other currencies are worth."""

import datetime
from typing import Annotated

from bomtui.model.base import Base
from bomtui.model.fields import Field
from bomtui.model.money import Money

LEARNING_CONVENTIONS = ("cumulative_average", "unit")
"""What falls to the learning ratio at every doubling of the vehicles built.

cumulative_average: the mean cost of all vehicles so far (Wright); unit: the cost of the last vehicle (Crawford).
"""


class Exchange(Base, frozen=True):
    """What another currency is worth, on one day and in one direction; it stays as it is until somebody changes it."""

    worth: Annotated[Money | None, Field("what one unit of this currency is worth, such as 0.92 EUR for 1 USD")] = None
    date: Annotated[datetime.date | None, Field("day of the rate")] = None
    note: Annotated[str, Field("free text")] = ""


class Programme(Base, frozen=True):
    """The programme over its years.

    The rollup costs an even programme, `vehicle.volume_per_year` in each of `vehicle.years`; what stands here changes
    none of its figures but prices in other currencies.
    """

    target_price: Annotated[Money | None, Field("what a vehicle's electronics may cost")] = None
    volumes: Annotated[
        dict[str, int], Field("vehicles built in each calendar year; without any: the same in every year")
    ] = {}
    price_down_ratio: Annotated[float, Field("how far each year's price is below the year before", "ratio")] = 0.0
    learning_ratio: Annotated[
        float, Field("cost of work left at every doubling of the vehicles built; 100 %: no learning", "ratio")
    ] = 1.0
    learning_convention: Annotated[
        str, Field("of which cost the learning ratio is said", choices=LEARNING_CONVENTIONS)
    ] = "cumulative_average"
    discount_ratio: Annotated[
        float | None, Field("interest of a year for the present value; absent: none is given", "ratio")
    ] = None
    swing_ratio: Annotated[float, Field("how far inputs are moved up and down to rank them", "ratio")] = 0.1
    preferred_makers: Annotated[
        tuple[str, ...], Field("makers whose share of cost and pieces is told, such as one's own")
    ] = ()
    exchange: Annotated[dict[str, Exchange], Field("other currencies by their code", choices=())] = {}
    note: Annotated[str, Field("free text")] = ""
