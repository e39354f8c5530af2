"""What a module takes of wires, ways, channels and parts: the shapes that the cost of a vehicle is made from."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from bomtui.model.base import Base
from bomtui.model.money import Proportion
from bomtui.model.rollup import WireUse
from bomtui.model.settings import Counting

Weights = dict[str, Decimal]
"""What each owner, or module, takes of something that is shared out."""


class LoadWiring(Base, frozen=True):
    """What one load takes of wires, ways and shares.

    Attributes:
        wires: Wires.
        length_m: Their length; None where a distance is unknown.
        ways: Signal ways.
        power_headers: 1 where it takes power contacts instead.
        points: Points by which common cost is shared.
        contacts_known: Whether its current is known well enough to choose its contacts.
    """

    wires: int
    length_m: Decimal | None
    ways: int
    power_headers: int
    points: int
    contacts_known: bool


def all_ways(wires: LoadWiring | WireUse, counting: Counting) -> int:
    """Return the ways of a load or a module, those of its power contacts among them.

    Args:
        wires: What it takes.
        counting: For the ways of a power header.
    """
    return wires.ways + counting.power_header_ways * wires.power_headers


@dataclass(frozen=True, slots=True)
class ModuleWiring:
    """Wires and ways of one module.

    Attributes:
        loads: Per load.
        common_wires: Wires of feed and bus.
        common_length_m: Their length, as far as distances are known.
        common_ways: Connector ways of feed, ground and bus.
        unknown: How many lengths are missing.
        unknown_contacts: Loads of which it is not known whether they take power contacts.
    """

    loads: tuple[LoadWiring, ...]
    common_wires: int
    common_length_m: Decimal
    common_ways: int
    unknown: int
    unknown_contacts: int


@dataclass(frozen=True, slots=True)
class ChannelCount:
    """Channels of all devices of one part in a module, per average vehicle with it: used per subsystem, and spare."""

    used: Mapping[str, int | Decimal]
    spare: int | Decimal


@dataclass(frozen=True, slots=True)
class Keys:
    """Weights by which the cost elements of one module are split.

    Attributes:
        points: I/O points per subsystem; common where there is none.
        ways: Signal ways per subsystem, common and spare.
        power: Power contacts per subsystem, and spare.
        metres: Wire length per subsystem and common, per average vehicle.
        wires: Wires per subsystem and common, likewise.
        channels: Channels per driver part.
    """

    points: Proportion
    ways: Proportion
    power: Proportion
    metres: Proportion
    wires: Proportion
    channels: Mapping[str, Proportion]


@dataclass(frozen=True, slots=True)
class Amounts:
    """What one vehicle takes of a module.

    Attributes:
        modules: How often the module is in it: 1, or the share of the vehicles that have it.
        parts: Quantity per part key.
        placed_pieces: Pieces placed on boards.
        test_ways: Connector ways that are tested.
        wire_ends: Ends of its wires.
        length_m: Their known length.
        unknown_lengths: How many lengths are missing.
        unknown_contacts: Loads of which it is not known whether they take power contacts.
    """

    modules: Decimal
    parts: Mapping[str, Decimal]
    placed_pieces: Decimal
    test_ways: Decimal
    wire_ends: Decimal
    length_m: Decimal
    unknown_lengths: int
    unknown_contacts: int


@dataclass(frozen=True, slots=True)
class ModuleQuantities:
    """What the cost of one module depends on.

    Attributes:
        average: What the average vehicle takes of it.
        lean: What a vehicle takes that has only what every vehicle has; the same where nothing is fitted in part.
        full: What a vehicle takes that has everything; likewise.
        keys: Weights of the split to subsystems.
        unsplit: Parts whose split lacks something: channels of a driver, ways of a connector.
    """

    average: Amounts
    lean: Amounts
    full: Amounts
    keys: Keys
    unsplit: int

    @property
    def is_partly_fitted(self) -> bool:
        """Whether vehicles differ in what they take of it."""
        return self.full is not self.average
