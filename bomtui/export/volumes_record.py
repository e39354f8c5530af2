"""Cost over volume and years as one plain record."""

from typing import Annotated, Literal

from msgspec import Meta

from bomtui.export.compare_record import Exact
from bomtui.export.records import Amount, Count, Heading, Record
from bomtui.export.rollup_record import Sum


class AtVolumeRecord(Record, frozen=True, kw_only=True):
    """A variant at one volume."""

    variant: str
    cost: Sum
    left_over: Annotated[Sum, Meta(description="money in pieces left after the programme, per vehicle")]
    dearer_stock: Annotated[
        tuple[str, ...], Meta(description="parts whose left-over pieces make it dearer than the volume before")
    ]


class VolumeRecord(Record, frozen=True, kw_only=True):
    """One volume, vehicles a year."""

    volume: Count
    own: Annotated[bool, Meta(description="whether it is that of the proposal")]
    variants: tuple[AtVolumeRecord, ...]
    difference: Annotated[Exact | None, Meta(description="null with one variant, or where a total lacks terms")]


class RungRecord(Record, frozen=True, kw_only=True):
    """A part that reaches another price rung as the volume grows."""

    volume: Count
    part: str
    rung: Count
    saving: Annotated[Amount | None, Meta(description="what a vehicle then costs less")]


class ReelRecord(Record, frozen=True, kw_only=True):
    """A part whose minimum order or package leaves pieces over; stock is carried over where the rates say so."""

    part: str
    need: Count
    order: Count
    moq: Count
    multiple: Count
    tied_up: Amount
    left_over_per_vehicle: Amount


class YearRecord(Record, frozen=True, kw_only=True):
    """One year of the programme."""

    year: str
    volume: Count
    price: Sum
    paid: Sum
    stock: Annotated[Sum, Meta(description="money in pieces left at its end")]


class LifetimeRecord(Record, frozen=True, kw_only=True):
    """A programme as a whole, by one learning convention."""

    learning_convention: str
    vehicles: Count
    years: tuple[YearRecord, ...]
    total: Annotated[Sum, Meta(description="all vehicles, one-off cost amortised in the price")]
    mean_price: Amount
    present_value: Annotated[Sum | None, Meta(description="each year paid at its end; null without an interest")]
    one_off: Amount | None
    one_off_per_vehicle: Amount | None
    paid_once: Annotated[Sum, Meta(description="all vehicles, one-off cost paid apart at the start")]
    paid_once_present_value: Sum | None


class TargetRecord(Record, frozen=True, kw_only=True):
    """Target price, and cost less target."""

    target: Amount
    gap: Sum


class SideRecord(Record, frozen=True, kw_only=True):
    """One variant over volume and years."""

    heading: Heading
    target: TargetRecord | None
    rungs: tuple[RungRecord, ...]
    reels: tuple[ReelRecord, ...]
    lifetime: LifetimeRecord | None
    lifetime_by_other_convention: LifetimeRecord | None


class CrossingRecord(Record, frozen=True, kw_only=True):
    """A volume from which on another variant is the cheaper one."""

    volume: Count
    cheaper: Literal["first", "second", "same"]


class VolumesRecord(Record, frozen=True, kw_only=True):
    """Cost over volume: one variant, or two."""

    format: Literal[1]
    title: str
    currency: str
    demo: bool
    notice: str
    price_down_ratio: float
    learning_ratio: float
    discount_ratio: float | None
    sides: tuple[SideRecord, ...]
    volumes: tuple[VolumeRecord, ...]
    break_even: tuple[CrossingRecord, ...]
    cautions: tuple[str, ...]
