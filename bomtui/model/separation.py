"""Loads that belong on separate chips, whatever else speaks for putting them together."""

from dataclasses import dataclass

from bomtui.model.finding import Severity

ROLES = (
    "low_beam_left", "low_beam_right", "stop_left", "stop_right", "beacon_front", "beacon_rear", "hopper_valve_a",
    "hopper_valve_b", "pedal_track_a", "pedal_track_b", "engine_path", "comfort", "horn", "siren",
)  # fmt: skip
"""What a load is for, as far as the trade keeps such loads apart; said by people, never guessed from a name."""


@dataclass(frozen=True, slots=True)
class DefaultSeparation:
    """Two roles whose loads the trade keeps on separate chips.

    Attributes:
        one: The one role.
        other: The other role.
        why: What fails together otherwise.
        severity: How bad a common chip is.
    """

    one: str
    other: str
    why: str
    severity: Severity = "warning"


DEFAULT_SEPARATIONS = (
    DefaultSeparation("low_beam_left", "low_beam_right", "both low beams go dark at once"),
    DefaultSeparation("stop_left", "stop_right", "both stop lamps go dark at once"),
    DefaultSeparation("beacon_front", "beacon_rear", "both beacons go dark at once"),
    DefaultSeparation("hopper_valve_a", "hopper_valve_b", "one chip that fails switched on moves the hopper"),
    DefaultSeparation("pedal_track_a", "pedal_track_b", "one chip that fails makes both tracks wrong"),
    DefaultSeparation("engine_path", "comfort", "a fault of a comfort load stops the engine, or keeps it running"),
    DefaultSeparation("horn", "siren", "both warnings fall silent at once", "hint"),
)
"""Separations that hold in every proposal; what a load says of itself adds to them and replaces none.

Source: common practice of the trade, no source.
"""
