"""A first placement of loads, as one plain record."""

from typing import Annotated

from msgspec import Meta

from bomtui.export.merge_record import BlockedRecord, NewFinding, ServedRecord
from bomtui.export.records import Heading


class DraftRecord(Heading, frozen=True, kw_only=True):
    """Which loads were placed where, on which drivers, and which were not."""

    placed: Annotated[dict[str, str], Meta(description="module of each load that was placed")]
    drivers: tuple[ServedRecord, ...]
    not_placed: tuple[BlockedRecord, ...]
    added: tuple[NewFinding, ...]
    proved: Annotated[bool, Meta(description="whether the drivers are proved to be the cheapest")]
    gap_ratio: float | None
    proof: str
    stopped_by: str
