"""What packing the drivers of a variant anew would gain, as one plain record."""

from collections.abc import Iterable
from typing import Annotated, Literal

from msgspec import Meta

from bomtui.export.records import Bounded, Heading, Record
from bomtui.model.finding import Severity


class SumRecord(Record, frozen=True, kw_only=True):
    """A sum of money; where terms are unknown it is a lower bound."""

    total: Annotated[str, Meta(description="in the proposal's currency")]
    unknown: int


class NewFinding(Record, frozen=True, kw_only=True):
    """A finding that a change brings or clears."""

    rule: str
    severity: Severity
    place: str
    message: str


class OpportunityRecord(Record, frozen=True, kw_only=True):
    """What one module, or one sort of chip, would gain by itself."""

    kind: Annotated[
        Literal["drivers", "controller", "companion", "family"],
        Meta(
            description="drivers packed anew, a controller in the place of another, a chip whose work another one does,"
            " or a part in the place of its sibling; only drivers are in `after`, the bound and the proof"
        ),
    ]
    module: Annotated[str, Meta(description="empty where it reaches over several")]
    what: str
    saving: Annotated[str, Meta(description="what a vehicle costs less; negative where it costs more")]
    devices: Annotated[int, Meta(description="driver devices fewer")]
    pieces: Annotated[int, Meta(description="devices of any kind fewer")]
    unsure: Annotated[tuple[str, ...], Meta(description="what no rule judges, or could decide")]
    standby_before_a: Bounded
    standby_after_a: Bounded
    added: tuple[NewFinding, ...]
    cleared: tuple[NewFinding, ...]


class BlockedRecord(Record, frozen=True, kw_only=True):
    """What does not become less, and why."""

    what: str
    reason: str
    short: Annotated[
        dict[str, float], Meta(description="what is short: channels, W, steps of the aim, or a rule in its own unit")
    ]


class ServedRecord(Record, frozen=True, kw_only=True):
    """A driver of the packed modules as it would be."""

    device: str
    part: str
    former: Annotated[str, Meta(description="part in whose place it is; the same where it stays, empty where new")]
    loads: tuple[str, ...]


class EndRecord(Record, frozen=True, kw_only=True):
    """The packing with the fewest driver devices, beside the cheapest one."""

    after: SumRecord
    devices_after: int
    fewest: Annotated[int | None, Meta(description="driver devices needed at least among those that may change")]
    conflict: Annotated[bool, Meta(description="whether fewer devices cost more than the cheapest ones")]
    lower_bound: Annotated[str | None, Meta(description="what the vehicle would cost at least with so few")]
    gap_ratio: float | None
    proved: bool
    stopped_by: str
    proof: str
    opportunities: tuple[OpportunityRecord, ...]
    drivers: tuple[ServedRecord, ...]
    refused: tuple[BlockedRecord, ...]


class MergeRecord(Heading, frozen=True, kw_only=True):
    """The cheapest, or the fewest, drivers of some modules."""

    modules: tuple[str, ...]
    keep: Annotated[Literal["errors", "warnings"], Meta(description="new findings that no plan brings")]
    aim: Annotated[
        Literal["cost", "chips", "standby", "both"],
        Meta(description="both: the cheapest here, and beside it in `fewest_end` the one with the fewest devices"),
    ]
    before: SumRecord
    after: SumRecord
    devices_before: int
    devices_after: int
    fewest: Annotated[int | None, Meta(description="driver devices needed at least among those that may change")]
    lower_bound: Annotated[str | None, Meta(description="what the vehicle would cost at least; null for other aims")]
    gap_ratio: Annotated[
        float | None, Meta(description="share of the cost of the drivers that may change which the bound leaves open")
    ]
    solver_bound: Annotated[str | None, Meta(description="bound of the solver alone, not checked")]
    proved: bool
    checked_by: str
    stopped_by: str
    proof: str
    fewest_end: Annotated[EndRecord | None, Meta(description="null unless both ends were asked for")]
    opportunities: tuple[OpportunityRecord, ...]
    blocked: tuple[BlockedRecord, ...]
    drivers: tuple[ServedRecord, ...]
    left: tuple[BlockedRecord, ...]
    unserved: tuple[BlockedRecord, ...]
    conditions: tuple[str, ...]
    open_rules: Annotated[tuple[str, ...], Meta(description="rules that something unknown keeps open")]


def plain_blocked(pairs: Iterable[tuple[str, str]]) -> tuple[BlockedRecord, ...]:
    """Return things with their reasons, without numbers of their own."""
    return tuple(BlockedRecord(what=what, reason=why, short={}) for what, why in pairs)
