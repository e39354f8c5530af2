"""Feeds and ground points of a variant as plain records."""

from typing import Annotated

from msgspec import Meta

from bomtui.export.records import Basis, Bounded, Record, bounded, single
from bomtui.model.rollup import FeedMode, FeedResult, GroundResult


class FeedModeRecord(Record, frozen=True, kw_only=True):
    """Current of a feed in one mode."""

    id: str
    current_a: Annotated[
        Bounded, Meta(description="typ: mean of all that its modules draw; max: everything on, at the worst voltage")
    ]
    heating_a: Annotated[
        Bounded, Meta(description="steady current that heats fuse, wire and contacts as the worst one does")
    ]
    peak_a: Annotated[Bounded, Meta(description="worst current with one inrush on top")]


class FeedRecord(Record, frozen=True, kw_only=True):
    """One feed: its currents, and what fuse and wire make of them."""

    id: str
    terminal: str
    modules: tuple[str, ...]
    fuse_current_a: float | None
    switch: Annotated[str, Meta(description="channel in place of a fuse; empty for a fuse")]
    wire_area_m2: float | None
    ground: str
    modes: tuple[FeedModeRecord, ...]
    heating_a: Bounded
    protection_a: Annotated[
        Bounded,
        Meta(description="what cuts it off at last: the current of its fuse, or the highest trip current"),
    ]
    usable_a: Annotated[Bounded, Meta(description="what its fuse, or the channel in its place, carries for ever")]
    load_ratio: Annotated[Bounded, Meta(description="steady current over the rated one of fuse or channel")]
    length_m: Annotated[Bounded, Meta(description="copper that its current passes, there and back")]
    resistance_ohm: Annotated[Bounded, Meta(description="with its wires as hot as their insulation stands")]
    drop_v: Bounded
    drop_ratio: Annotated[Bounded, Meta(description="worst drop over the nominal voltage of the supply")]
    wire_heat_w: Bounded
    ampacity_a: Annotated[Bounded, Meta(description="what its wires carry for ever as they lie")]
    copper_kg: Bounded
    proposed_fuse_a: Annotated[Bounded, Meta(description="smallest fuse of its type for the steady current")]
    proposed_area_m2: Annotated[
        Bounded, Meta(description="smallest wire that carries what protects it and keeps the drop")
    ]


class GroundModeRecord(Record, frozen=True, kw_only=True):
    """Current that comes back to a ground point in one mode."""

    id: str
    returned_a: Bounded


class GroundRecord(Record, frozen=True, kw_only=True):
    """One ground point; loads that return through the chassis are not in it."""

    id: str
    feeds: tuple[str, ...]
    modes: tuple[GroundModeRecord, ...]


def feed_records(basis: Basis) -> tuple[FeedRecord, ...]:
    """Return the feeds of a variant as records."""
    return tuple(_feed(basis, own) for own in basis.rollup.feeds.values())


def ground_records(basis: Basis) -> tuple[GroundRecord, ...]:
    """Return the ground points of a variant as records."""
    return tuple(map(_ground, basis.rollup.grounds.values()))


def _feed(basis: Basis, own: FeedResult) -> FeedRecord:
    feed = basis.proposal.variants[basis.rollup.variant].feeds[own.id]
    return FeedRecord(
        id=own.id,
        terminal=feed.terminal,
        modules=own.modules,
        fuse_current_a=feed.fuse_current_a,
        switch=feed.switch,
        wire_area_m2=feed.wire_area_m2,
        ground=feed.ground,
        modes=tuple(map(_mode, own.modes)),
        heating_a=single(own.heating_a),
        protection_a=single(own.protection_a),
        usable_a=single(own.usable_a),
        load_ratio=single(own.load_ratio),
        length_m=single(own.length_m),
        resistance_ohm=single(own.resistance_ohm),
        drop_v=bounded(own.drop_v),
        drop_ratio=single(own.drop_ratio),
        wire_heat_w=single(own.wire_heat_w),
        ampacity_a=single(own.ampacity_a),
        copper_kg=single(own.copper_kg),
        proposed_fuse_a=single(own.proposed_fuse_a),
        proposed_area_m2=single(own.proposed_area_m2),
    )


def _mode(own: FeedMode) -> FeedModeRecord:
    return FeedModeRecord(
        id=own.mode,
        current_a=bounded(own.current_a),
        heating_a=single(own.heating_a),
        peak_a=single(own.peak_a),
    )


def _ground(own: GroundResult) -> GroundRecord:
    return GroundRecord(
        id=own.id,
        feeds=own.feeds,
        modes=tuple(GroundModeRecord(id=mode, returned_a=single(value)) for mode, value in own.returned_a.items()),
    )
