"""Settings of the demos: their rates, and the habit of every drive code that a vehicle uses."""

import datetime
from collections.abc import Mapping
from decimal import Decimal

from bomtui.model.limits import Limits
from bomtui.model.load import Load
from bomtui.model.money import Money
from bomtui.model.proposal import Assumption
from bomtui.model.settings import DRIVE_HABITS, Rates, Settings

CURRENCY = "EUR"
AS_OF = datetime.date(2026, 11, 2)
PILOT_BUILD = datetime.date(2027, 9, 1)
START_OF_PRODUCTION = datetime.date(2028, 3, 1)
"""Days of the demos, invented: a month after their prices, ten months to the first vehicles, and half a year more."""
SECONDS_PER_DAY = 86400.0


PARKED_DAYS = {"sweeper": 60, "van": 42, "bench": 42}
"""How long each vehicle must stay able to start (common practice, no source)."""


def settings_of(name: str, loads: Mapping[str, Load]) -> Settings:
    """Return the settings; every drive code in use is written out, so that each habit is seen and can be changed."""
    return Settings(
        limits=Limits(parking_s=PARKED_DAYS[name] * SECONDS_PER_DAY),
        rates=Rates(
            placement=_money("0.011"),
            test_per_module=_money("1.40"),
            test_per_way=_money("0.02"),
            assembly_per_module=_money("2.10"),
            wire_per_metre=_money("0.31"),
            wire_end=_money("0.19"),
            bus_node=_money("0.60"),
            one_off=_money("0"),
            freight_ratio=0.0,
            duty_ratio=0.0,
            attrition_ratio=0.0,
            carry_over=True,
        ),
        drives={load.drive: DRIVE_HABITS[load.drive] for load in loads.values()},
    )


def assumptions() -> dict[str, Assumption]:
    """Return what the demos take for granted beyond the customer's list."""
    return {
        "A01": Assumption(
            text="air at the board is 15 K above the zone, or more where the module heats its housing more",
            effect="junction temperatures",
        ),
        "A02": Assumption(
            text="lowest and highest supply voltage of each mode are invented",
            effect="worst currents and worst heat",
        ),
        "A03": Assumption(
            text="a part takes the rail of its voltage in its module; a converter takes the battery, or a rail where it"
            " does not stand the battery line",
            effect="current of the electronics and heat of the supplies",
        ),
        "A04": Assumption(
            text="no attrition, freight, customs duty and one-off cost",
            effect="cost per vehicle",
        ),
    }


def _money(amount: str) -> Money:
    return Money(amount=Decimal(amount), currency=CURRENCY)
