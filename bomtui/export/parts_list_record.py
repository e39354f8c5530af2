"""The costed parts list of a variant as one plain record."""

import datetime
from decimal import Decimal
from typing import Annotated

from msgspec import Meta

from bomtui.export.cautions import INVENTED
from bomtui.export.records import (
    Amount,
    Basis,
    Count,
    Heading,
    Number,
    Record,
    amount_text,
    exact_text,
    heading,
    plain_number,
)
from bomtui.model.part import Part
from bomtui.model.rollup import PartLine


class Holding(Record, frozen=True, kw_only=True):
    """How much of a part one module holds per average vehicle, and its share of the line price."""

    quantity: Number
    price: Amount | None


class LineRecord(Record, frozen=True, kw_only=True):
    """One part at its quantity over all modules. What is not known is null or empty, never 0."""

    line: Annotated[int, Meta(ge=1)]
    part: Annotated[str, Meta(description="catalog key")]
    kind: str
    maker: str
    mpn: Annotated[str, Meta(description="maker part number, letter by letter")]
    description: str
    modules: Count
    quantity: Annotated[Number, Meta(description="per average vehicle, in the sale unit")]
    quantity_lean: Annotated[Number, Meta(description="in the vehicle that has only what every vehicle has")]
    quantity_full: Annotated[Number, Meta(description="in the vehicle that has everything")]
    sale_unit: str
    need: Annotated[int | None, Meta(description="in a year, without attrition")]
    order_base: Annotated[int | None, Meta(description="need with attrition")]
    order: Annotated[int | None, Meta(description="after minimum and multiple")]
    moq: int | None
    multiple: int | None
    rung: Annotated[int | None, Meta(description="order quantity from which the unit price holds")]
    unit_price: Amount | None
    currency: str
    price_date: datetime.date | None
    line_price: Annotated[Amount | None, Meta(description="per average vehicle")]
    excess_per_year: Annotated[Amount | None, Meta(description="(order - order_base) x unit price, first order")]
    life_cycle: str
    lead_weeks: int | None
    alternates: tuple[str, ...]
    note: str
    per_module: dict[str, Holding]


class PartsListRecord(Heading, frozen=True, kw_only=True):
    """Costed parts list of one variant, per average vehicle, at the prices of the aggregated quantity."""

    volume_per_year: int | None
    lines: tuple[LineRecord, ...]
    total: Annotated[Amount, Meta(description="sum of the line prices that are known")]
    unknown: Annotated[Count, Meta(description="lines without a price; where it is not 0 the total is a lower bound")]
    excess_per_year: Annotated[Amount, Meta(description="sum of the lines, exact")]
    excess_per_year_unknown: Count


def parts_list_record(basis: Basis) -> PartsListRecord:
    """Return the parts list of a variant as a record; its lines are ordered by kind and key."""
    cost = basis.rollup.cost
    return PartsListRecord(
        **heading(basis, "Parts list"),  # type: ignore[arg-type]
        volume_per_year=basis.proposal.vehicle.volume_per_year,
        lines=tuple(_line(basis, number, line) for number, line in enumerate(cost.lines, start=1)),
        total=amount_text(cost.elements["parts"].amount),
        unknown=cost.elements["parts"].unknown,
        excess_per_year=exact_text(cost.excess_per_year.amount),
        excess_per_year_unknown=cost.excess_per_year.unknown,
    )


def _line(basis: Basis, number: int, line: PartLine) -> LineRecord:
    part = basis.parts.get(line.part)
    return LineRecord(
        line=number,
        part=line.part,
        kind="" if part is None else part.kind,
        maker="" if part is None else part.maker,
        mpn="" if part is None else part.mpn,
        description="" if part is None else part.description,
        modules=len(line.quantities),
        quantity=plain_number(line.quantity),
        quantity_lean=plain_number(line.lean),
        quantity_full=plain_number(line.full),
        sale_unit="" if part is None else part.sale_unit,
        need=line.need,
        order_base=line.order_base,
        order=line.order,
        moq=None if part is None else part.moq,
        multiple=None if part is None else part.multiple,
        rung=line.rung,
        unit_price=None if line.unit_price is None else exact_text(line.unit_price),
        currency="" if line.unit_price is None else basis.proposal.proposal.currency,
        price_date=None if part is None or line.unit_price is None else part.price_date,
        line_price=None if line.line_price is None else amount_text(line.line_price),
        excess_per_year=None if line.excess_per_year is None else exact_text(line.excess_per_year),
        life_cycle="" if part is None or part.life_cycle is None else part.life_cycle,
        lead_weeks=None if part is None else part.lead_weeks,
        alternates=() if part is None else part.alternates,
        note="; ".join(_notes(basis, part, line)),
        per_module={module: _holding(line, module) for module in basis.rollup.modules if module in line.quantities},
    )


def _holding(line: PartLine, module: str) -> Holding:
    share: Decimal | None = line.per_module.get(module) if line.line_price is not None else None
    return Holding(quantity=plain_number(line.quantities[module]), price=None if share is None else amount_text(share))


def _notes(basis: Basis, part: Part | None, line: PartLine) -> list[str]:
    """Return what a buyer must know of a line, then the engineer's own note."""
    notes = []
    if basis.proposal.proposal.demo:
        notes.append(INVENTED)
    if (line.lean, line.full) != (line.quantity, line.quantity):
        lean, full = exact_text(line.lean), exact_text(line.full)
        notes.append(f"not in every vehicle: {lean} in the lean one, {full} in the full-fit one")
    if part is None:
        return [*notes, "no frozen data of this part: price and all else unknown"]
    currency = basis.proposal.proposal.currency
    if part.breaks and part.currency != currency:
        notes.append(_exchange_note(basis, part, line))
    elif not part.breaks:
        notes.append("no price given")
    if line.below_lowest:
        notes.append("order below the lowest price rung: the nearest price stands in")
    return [*notes, part.note] if part.note else notes


def _exchange_note(basis: Basis, part: Part, line: PartLine) -> str:
    """Say at which rate, in which direction and of which day a price was taken over."""
    currency = basis.proposal.proposal.currency
    rate = basis.proposal.programme.exchange.get(part.currency)
    if rate is None or rate.worth is None or line.unit_price is None:
        return f"priced in {part.currency or 'an unknown currency'}, no rate to {currency} given"
    day = "of an unknown day" if rate.date is None else f"of {rate.date}"
    return f"priced in {part.currency}: 1 {part.currency} = {rate.worth.amount:f} {currency} {day}"
