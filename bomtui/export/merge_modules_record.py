"""Which modules of a variant could become one, as one plain record."""

from typing import Annotated, Literal

from msgspec import Meta

from bomtui.export.merge_record import BlockedRecord, NewFinding, SumRecord
from bomtui.export.records import Bounded, Heading, Record


class AmountsRecord(Record, frozen=True, kw_only=True):
    """Figures of a variant that a merge of modules changes."""

    devices: Annotated[int, Meta(description="placed parts with a reference, of the vehicle")]
    pins_used: Annotated[int, Meta(description="controller pins in use, of the modules in question")]
    pins: Annotated[int, Meta(description="controller pins, of the modules in question")]
    wires: Annotated[int, Meta(description="wires of the vehicle")]
    wire_length_m: Annotated[float, Meta(description="their length")]
    standby_a: Annotated[Bounded, Meta(description="standby current of the vehicle")]


class GoingRecord(Record, frozen=True, kw_only=True):
    """A device that goes."""

    device: str
    part: str


class FurtherRecord(Record, frozen=True, kw_only=True):
    """A housing that saves more, where something is taken for granted."""

    housing: str
    saving: Annotated[str, Meta(description="what a vehicle costs less in all")]
    condition: str


class ModuleOpportunityRecord(Record, frozen=True, kw_only=True):
    """Modules that could become one, by itself."""

    modules: tuple[str, ...]
    into: Annotated[str, Meta(description="the module that stays")]
    zone: str
    controller: Annotated[str, Meta(description="takes the software of all; empty where each keeps its controller")]
    separate: Annotated[str, Meta(description="why each keeps its controller; empty where one could take all")]
    housing: str
    going: tuple[GoingRecord, ...]
    saving: Annotated[str, Meta(description="what a vehicle costs less")]
    elements: Annotated[dict[str, str], Meta(description="the saving by cost element; negative where it costs more")]
    before: AmountsRecord
    after: AmountsRecord
    added: tuple[NewFinding, ...]
    cleared: tuple[NewFinding, ...]
    conditions: tuple[str, ...]
    further: Annotated[FurtherRecord | None, Meta(description="the same in a smaller housing, if a layout fits it")]


class TogetherRecord(Record, frozen=True, kw_only=True):
    """Opportunities that go together and save most, as one step."""

    sets: tuple[tuple[str, ...], ...]
    saving: str
    added: tuple[NewFinding, ...]
    cleared: tuple[NewFinding, ...]


class ModulesApartRecord(BlockedRecord, frozen=True, kw_only=True):
    """Modules that do not become one, and why."""

    proved: Annotated[bool, Meta(description="whether every plan was looked at")]


class MergeModulesRecord(Heading, frozen=True, kw_only=True):
    """Which modules become one, and why others do not."""

    modules: tuple[str, ...]
    keep: Annotated[Literal["errors", "warnings"], Meta(description="new findings that no plan brings")]
    before: SumRecord
    after: Annotated[SumRecord, Meta(description="with all that is taken together")]
    opportunities: tuple[ModuleOpportunityRecord, ...]
    together: TogetherRecord | None
    refused: Annotated[tuple[BlockedRecord, ...], Meta(description="opportunities that do not go with the others")]
    blocked: tuple[ModulesApartRecord, ...]
    sets_tried: int
    every_set: Annotated[bool, Meta(description="whether every set of these modules was tried")]
    stopped_by: Literal["work", "time", "cancelled"]
    reach: Annotated[str, Meta(description="how far the answer reaches")]
