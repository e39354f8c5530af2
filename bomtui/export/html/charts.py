"""The charts of a package: what its summary says, as bars."""

from bomtui.export.html.svg import Bar, Chart, ChartRow
from bomtui.export.notation import Notation
from bomtui.export.package.standby import ModuleStandbyRow, StandbyBudget
from bomtui.export.package.summary import Summary
from bomtui.export.records import Bounded
from bomtui.model.quantity import display

_SIGNS = {"exact": "", "at_least": ">= ", "at_most": "<= "}
BOTH = "filled: typ; hatched: max"


def charts(summary: Summary, standby: StandbyBudget, notation: Notation) -> tuple[Chart, ...]:
    """Return the charts of a package."""
    per_vehicle = f"{summary.currency} per average vehicle"
    elements = [row for row in summary.costs if "total" not in row.cost and "left over" not in row.cost]
    return (
        Chart(
            "chart-elements",
            "Cost by element",
            per_vehicle,
            tuple(ChartRow(row.cost, (_amount(row.amount, row.unknown, notation),)) for row in elements),
        ),
        Chart(
            "chart-modules",
            "Cost by module",
            per_vehicle,
            tuple(
                ChartRow(f"{row.module} ({row.zone})", (_amount(row.cost, row.cost_unknown, notation),))
                for row in summary.modules
            ),
        ),
        Chart(
            "chart-modes",
            "Current of the vehicle from the battery",
            BOTH,
            tuple(ChartRow(row.mode, _bars(row.supply_a, notation)) for row in summary.modes),
        ),
        Chart("chart-standby", "Standby current", BOTH, tuple(_standby(row, notation) for row in standby.modules)),
    )


def _standby(row: ModuleStandbyRow, notation: Notation) -> ChartRow:
    return ChartRow(row.module, _bars(row.current_a, notation))


def _amount(amount: str, unknown: int, notation: Notation) -> Bar:
    count = f" ({unknown} unknown)" if unknown else ""
    return Bar(float(amount), f"{'>= ' if unknown else ''}{notation.number(amount)}{count}")


def _bars(figure: Bounded, notation: Notation) -> tuple[Bar, ...]:
    count = f" ({figure.unknown} unknown)" if figure.unknown else ""
    return tuple(
        Bar(
            value,
            "unknown"
            if value is None
            else f"{_SIGNS[figure.bound]}{notation.number(display(value, 'current'))}{count}",
            is_worst=is_worst,
        )
        for value, is_worst in ((figure.typ, False), (figure.max, True))
    )
