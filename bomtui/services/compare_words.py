"""A comparison in words and columns, for commands and screens alike."""

from collections.abc import Iterable
from decimal import Decimal

from bomtui.model.comparison import CAUSES, Difference
from bomtui.model.finding import SEVERITIES
from bomtui.model.money import LINE_DIGITS, Total, rounded_to_add
from bomtui.model.quantity import DIMENSIONS
from bomtui.services.measure_row import Measured
from bomtui.services.measures import ELEMENT_NAMES, Measure
from bomtui.services.present import (
    NOT_COMPUTED,
    amount_column_text,
    column_text,
    count_column_text,
    days_column_text,
    signed_amount_text,
)

CAUSE_NAMES = {
    "scope": "scope",
    "architecture": "architecture",
    "part_change": "part change",
    "rung": "price rung",
    "quoted_price": "quoted price",
    "rate": "exchange rate",
    **{cause: f"rate of {name}" for cause, name in ELEMENT_NAMES.items() if cause in CAUSES},
    "one_side_unknown": "known on one side only",
}
"""Causes as people read them."""

CAUSE_WORDS = {
    "scope": "loads that only one side serves, or that are other loads on each side",
    "architecture": "other quantities for the same loads",
    "part_change": "another part in the very place of one",
    "rung": "the same part at another price rung",
    "quoted_price": "another price ladder of the same part",
    "rate": "another exchange rate",
    "one_side_unknown": "amounts that the other side does not know, which is no saving",
}
"""What a cause means, where its name does not say it."""

_LOST_WORDS = "loads and inputs lost with the one that takes most of them along, whatever stands in for them"
MEASURE_WORDS = {
    "target_gap": "cost per vehicle less the target price; ? where none is given",
    "feed_load": "steady current over the rated current of fuse or channel",
    "feed_drop": "worst voltage that its wires take, of the nominal voltage",
    "network_load": "largest share of the time in which frames are on it",
    "lost_with_device": _LOST_WORDS,
    "lost_with_module": _LOST_WORDS,
    "lost_with_feed": _LOST_WORDS,
    "lost_with_ground": _LOST_WORDS,
    **{
        f"findings.{severity}": "each undecided finding may hide one more; better is said only where none can turn it"
        for severity in SEVERITIES
    },
    "shared_pairs": "stand-in pairs of which a single failure takes out both loads",
}
"""What a measure is by its id, where its name does not say it."""

UNITS = {"current": "A", "length": "m", "ratio": "%"}
"""Unit of a column per dimension, of measures that are no money, count or days."""


def unit_of(measure: Measure, currency: str) -> str:
    """Return the unit of a measure: a currency, `days`, a unit, or nothing for a count."""
    if measure.dimension == "money":
        return currency
    if measure.dimension == "count":
        return ""
    return "days" if measure.dimension == "days" else _unit(measure)


def _unit(measure: Measure) -> str:
    """Return the unit in which both figures and their difference can be read: currents of a parked vehicle in uA."""
    if measure.dimension == "current" and measure.id.startswith(("standby.", "supply.PARK")):
        return "uA"
    return UNITS.get(measure.dimension, DIMENSIONS[measure.dimension].si_unit)


def figure_text(measure: Measure, figure: Measured) -> str:
    """Write a figure of a measure without its unit: `761.7432`, `>=47.74`, `?`."""
    if isinstance(figure, Total):
        return amount_column_text(figure)
    if measure.dimension == "money":
        return "?"
    if measure.dimension == "days":
        return days_column_text(figure)
    if measure.dimension == "count":
        return count_column_text(figure)
    return column_text(figure, measure.dimension, _unit(measure))


def difference_text(measure: Measure) -> str:
    """Write the signed difference of a measure; `?` where one figure is not known exactly."""
    step = measure.difference
    if step is None:
        return "?"
    if not step:
        return NOT_COMPUTED
    if measure.dimension == "money":
        return signed_amount_text(step)
    size = abs(float(step))
    if measure.dimension == "count":
        text = count_column_text(size)
    elif measure.dimension == "days":
        text = days_column_text(size)
    else:
        text = column_text(size, measure.dimension, _unit(measure))
    return f"{'+' if step > 0 else '-'}{text}"


def per_cent_text(measure: Measure) -> str:
    """Write the difference over the first figure; empty where it is not known or nothing."""
    if measure.change_ratio is None or not measure.change_ratio:
        return ""
    return f"{measure.change_ratio.scaleb(2):+.1f} %"


def better_text(measure: Measure, names: tuple[str, str]) -> str:
    """Say which side is better; empty where none is, or where nothing may be judged."""
    words = {"first": names[0], "second": names[1], "same": "same", "undecided": "unknown"}
    return words.get(measure.better, "")


def measure_notes(measures: Iterable[Measure]) -> dict[str, str]:
    """Return what measures are whose names do not say it, by the names of those of which the same is said."""
    names: dict[str, list[str]] = {}
    for own in measures:
        if own.id in MEASURE_WORDS:
            names.setdefault(MEASURE_WORDS[own.id], []).append(own.name.strip())
    return {", ".join(own): words for words, own in names.items()}


def causes_that_count(difference: Difference) -> dict[str, Decimal]:
    """Return the causes that are not nothing, rounded so that the printed amounts add to the printed total."""
    return _printed(difference.by_cause)


def elements_that_count(difference: Difference) -> dict[str, Decimal]:
    """Return the cost elements that are not nothing, rounded likewise."""
    return _printed(difference.by_element)


def _printed(amounts: dict[str, Decimal]) -> dict[str, Decimal]:
    return {key: amount for key, amount in rounded_to_add(amounts, LINE_DIGITS).items() if amount or amounts[key]}
