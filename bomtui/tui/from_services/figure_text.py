"""Named figures as titles and texts, grouped by the place they belong to."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from bomtui.model.bound import Range, Value, exceeds
from bomtui.model.money import Total
from bomtui.services.explain import AnyFigure
from bomtui.services.present import RUNAWAY, days_text, junction_text, money_text, value_text
from bomtui.services.rail_currents import RAIL_CURRENT
from bomtui.tui.marks import Mark
from bomtui.tui.view import Figure

WORDS = {
    "standby_a": "standby current",
    "parking_days": "parking time",
    "loads_a": "loads by the list",
    "loads_at_mode_voltage_a": "loads, mean",
    "electronics_a": "own parts",
    "supply_current_a": "supply current",
    "on_current_a": "loads switched on",
    "inrush_a": "largest inrush",
    "mean_current_a": "mean current",
    "power_w": "heat",
    "junction_degc": "junction",
    "power_on_w": "heat, loads on",
    "junction_on_degc": "junction, loads on",
    "switching_on_w": "switching, loads on",
    "loop_gain_ratio": "loop gain, loads on",
    "board_air_degc": "air at the boards",
    "box_heat_w": "heat of all chips",
    "junction_reversed_degc": "junction, battery reversed",
    "clamp_energy_j": "energy of turning off",
    "clamp_time_s": "time of turning off",
    "peak_a": "peak of a channel",
    "pwm_on_s": "on-time of a PWM period",
    "output_a": "drawn from its rails",
    "input_v": "input while cranking",
    "needed_input_v": "input that it needs",
    "current_a": "current",
    "heating_a": "steady current",
    "start_a": "everything on and the largest start",
    "start_a2s": "the largest start",
    "start_limit_a": "largest start that it stands",
    "start_limit_a2s": "largest start that it stands",
    "low_current_a": "steady current at the lowest voltage",
    "protection_a": "is cut off at",
    "usable_a": "carries for ever",
    "load_ratio": "load",
    "length_m": "length",
    "resistance_ohm": "wires, hot",
    "drop_v": "wires take",
    "drop_ratio": "wires take, of the supply",
    "wire_heat_w": "heat of the wires",
    "ampacity_a": "wires carry",
    "copper_kg": "copper",
    "returned_a": "returns through modules",
    "wire_current_a": "steady current in its wire",
    "contact_limit_a": "its contact carries",
    "wire_drop_v": "its wire takes",
    "wire_drop_allowed_v": "its wire may take",
    "wire_ampacity_a": "its wire carries",
    "proposed_wire_area_m2": "smallest wire that will do",
    "feed_contacts_a": "through the feed contacts",
    "ground_contacts_a": "through the ground contacts",
    "feed_contacts_limit_a": "feed contacts carry, those",
    "ground_contacts_limit_a": "ground contacts carry, those",
    "parking_cold_s": "parking time in the cold",
    "engine_off_charge_as": "charge taken without the engine",
    "capacitance_f": "capacitance of line and nodes",
    "cycle_s": "one round of the schedule",
    "frame_s": "frame",
    "interval_s": "from slot to slot",
    "response_s": "longest response",
    "received_dbm": "received power from",
    "margin_db": "beyond its need, from",
    "parts_cost": "parts cost",
    "cost": "cost",
    "cost_lean": "cost, lean vehicle",
    "cost_full": "cost, full vehicle",
    "common": "cost of supply, ground, bus",
    "reserve": "cost of spare channels, ways",
    "excess_per_year": "rounding excess, first order",
    "excess_life_per_vehicle": "rounding excess, per vehicle",
    "unit_price": "unit price",
    "line_price": "line price",
}
"""Figures in words; a name that is missing here is read as it stands."""

OWN_WORDS = {"on_current_a/typ": "on-current", "on_current_a/max": "on-current"}
"""Figures of a single load that bear the name of a sum."""

BEFORE_NAME = {"share": "cost for", RAIL_CURRENT: "devices on rail"}
"""What stands before the name that a figure carries, where that is not its own words and `of`."""

DIMENSIONS = {
    "_a": "current",
    "_as": "charge",
    "_w": "power",
    "_j": "energy",
    "_s": "time",
    "_v": "voltage",
    "_degc": "temperature",
    "_ratio": "ratio",
    "_f": "capacitance",
    "_db": "attenuation",
    "_dbm": "power_level",
    "_ohm": "resistance",
    "_m2": "cross_section",
    "_m": "length",
    "_kg": "mass",
    "_a2s": "i2t",
}
WORST_IS_LEAST = "parking_days"
"""The figure whose worst corner is the smallest value."""


@dataclass(frozen=True, slots=True)
class Named:
    """A figure and the pieces of its name `PLACE:KEY[@MODE][/CORNER]`.

    Attributes:
        name: The whole name.
        key: What it is.
        mode: Id of the mode; empty where it belongs to none.
        corner: typ or max; empty where it has only one value.
        value: The figure.
    """

    name: str
    key: str
    mode: str
    corner: str
    value: AnyFigure

    @property
    def title(self) -> str:
        """What it is in words, with mode and corner."""
        kind, _, what = self.key.partition(".")
        words = OWN_WORDS.get(f"{self.key}/{self.corner}") or WORDS.get(kind, kind.replace("_", " "))
        if what:
            words = f"{BEFORE_NAME.get(kind, f'{words} of')} {what.replace('_', ' ')}"
        corner = "worst" if self.corner == "max" and self.key == WORST_IS_LEAST else self.corner
        return ", ".join(filter(None, (words, self.mode, corner)))


def by_place(figures: Mapping[str, AnyFigure]) -> dict[str, list[Named]]:
    """Sort figures by the place at the front of their names."""
    places: dict[str, list[Named]] = {}
    for name, value in figures.items():
        place, _, rest = name.partition(":")
        rest, _, corner = rest.partition("/")
        key, _, mode = rest.partition("@")
        places.setdefault(place, []).append(Named(name, key, mode, corner, value))
    return places


def figure(named: Named, currency: str) -> Figure:
    """Write a figure that is no temperature."""
    value = named.value
    if isinstance(value, Decimal | Total) or named.key.startswith(("unit_price", "line_price", "excess", "cost")):
        text = money_text(value if isinstance(value, Decimal | Total) else None, currency)
        is_unknown = value is None or (isinstance(value, Total) and value.unknown > 0)
    else:
        text = days_text(value) if named.key == WORST_IS_LEAST else value_text(value, _dimension(named.key))
        is_unknown = value is None or isinstance(value, Range)
    return Figure(named.title, text, "unknown" if is_unknown else "", name=named.name)


def junction_figure(named: Named, junction_max_degc: float | None, *, runaway: bool) -> Figure:
    """Write a junction temperature; beyond the part's maximum the limit comes first.

    Args:
        named: The temperature.
        junction_max_degc: Highest junction temperature of the part; None where it does not say.
        runaway: Whether heat outgrows cooling in this mode.
    """
    value: Value = None if isinstance(named.value, Decimal | Total) else named.value
    text = junction_text(value, junction_max_degc, runaway=runaway)
    mark: Mark = ""
    if text == RUNAWAY or (junction_max_degc is not None and exceeds(value, junction_max_degc)):
        mark = "over"
    elif value is None or isinstance(value, Range):
        mark = "unknown"
    word = "no temperature holds" if text == RUNAWAY else "beyond its maximum" if mark == "over" else ""
    return Figure(named.title, text, mark, word, named.name)


OF_THE_WIRE = frozenset(
    (
        "wire_current_a", "contact_limit_a", "wire_drop_v", "wire_drop_allowed_v", "wire_ampacity_a",
        "proposed_wire_area_m2",
    )
)  # fmt: skip


def worst_mode_first(figures: Iterable[Named], mode: str) -> list[Named]:
    """Order figures: those without a mode, those of the given mode, those of the other modes, a load's wire."""
    return sorted(
        figures,
        key=lambda named: (named.key.partition("/")[0] in OF_THE_WIRE, named.mode != "", named.mode != mode),
    )


def _dimension(key: str) -> str:
    return next(name for suffix, name in DIMENSIONS.items() if key.partition(".")[0].endswith(suffix))
