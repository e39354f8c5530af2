"""Cost over volume and years as text."""

from collections.abc import Iterator
from decimal import Decimal

from bomtui.cli.heading_text import assumption_lines, caution_lines, heading_lines, page
from bomtui.cli.layout import Column, table, wrapped
from bomtui.model.lifetime import Lifetime
from bomtui.services.present import amount_column_text, amount_text, decimal_text, money_text, signed_amount_text
from bomtui.services.target import gap_text
from bomtui.services.volumes import Side, Volumes, crossing_text, stock_text

LISTED = 12
"""Lines of a list that can be long; the JSON has all."""
CONVENTIONS = {
    "cumulative_average": "cumulative-average convention (Wright): the mean of all vehicles so far falls",
    "unit": "unit convention (Crawford): the last vehicle falls",
}


def volumes_text(found: Volumes) -> str:
    """Write cost over volume for a terminal of 80 columns."""
    names = [side.reviewed.computed.variant for side in found.sides]
    sections = []
    for side, name in zip(found.sides, names, strict=True):
        sections += [
            [f"Variant {name}: where price rungs are reached", *_rungs(side)],
            [f"Variant {name}: minimum orders and packages", *_reels(side, found.currency)],
            [f"Variant {name}: over its years", *_years(side, found.currency)],
        ]
    return page(
        *(heading_lines(side.reviewed, "Volumes") for side in found.sides),
        [f"Cost per vehicle over vehicles a year, {found.currency}: {', '.join(names)}", *_rows(found, names)],
        _crossings(found, names),
        *sections,
        assumption_lines(*(side.reviewed for side in found.sides)),
        caution_lines(),
    )


def _rows(found: Volumes, names: list[str]) -> Iterator[str]:
    columns = [Column("volume", numeric=True)]
    for title in ("first", "second")[: len(names)] if len(names) > 1 else ("cost",):
        columns += [Column(title, numeric=True), Column("left over", numeric=True)]
    if len(names) > 1:
        columns.append(Column("difference", numeric=True))
    columns.append(Column("note"))
    rows = []
    for row in found.rows:
        cells = [str(row.volume)]
        notes = ["as proposed"] if row.is_own else []
        for side in row.sides:
            cells += [amount_column_text(side.total), amount_column_text(side.excess)]
            notes += filter(None, [stock_text(side)])
        if len(names) > 1:
            cells.append("?" if row.difference is None else signed_amount_text(row.difference))
        rows.append([*cells, "; ".join(notes)])
    yield from table(columns, rows)
    yield from wrapped(
        "left over: money in pieces that remain after the programme, per vehicle; a larger volume is never dearer but "
        "by these",
        2,
    )


def _crossings(found: Volumes, names: list[str]) -> Iterator[str]:
    if len(names) > 1:
        pair = (names[0], names[1])
        span = f"between {found.rows[0].volume} and {found.rows[-1].volume} vehicles a year"
        if not found.crossings:
            yield f"No break-even {span}"
        for crossing in found.crossings:
            yield from wrapped(f"Break-even: {crossing_text(crossing, pair)}", 0, 2)


def _rungs(side: Side) -> Iterator[str]:
    columns = (
        Column("vehicles/year", numeric=True),
        Column("part"),
        Column("rung", numeric=True),
        Column("saves", numeric=True),
    )
    own = side.reviewed.computed.opened.snapshot.proposal.vehicle.volume_per_year
    ahead = [step for step in side.steps if own is None or step.volume > own]
    rows = [
        (str(step.volume), step.part, str(step.rung), "?" if step.saving is None else amount_text(step.saving))
        for step in ahead[:LISTED]
    ]
    if rows:
        yield from table(columns, rows)
    yield f"  {len(side.steps) - len(ahead)} reached below the volume of the proposal, {len(ahead)} above"


def _reels(side: Side, currency: str) -> Iterator[str]:
    carried = side.reviewed.computed.opened.snapshot.proposal.settings.rates.carry_over
    columns = (
        Column("part"),
        *(Column(title, numeric=True) for title in ("need", "order", "MOQ", "package", "tied up", "left over")),
    )
    rows = [
        (
            reel.part,
            str(reel.need),
            str(reel.order),
            str(reel.moq),
            str(reel.multiple),
            amount_text(reel.tied_up, 2),
            amount_text(reel.left_over),
        )
        for reel in side.reels[:LISTED]
    ]
    yield from table(columns, rows)
    stock = "left-over pieces serve the next year" if carried else "every year orders anew"
    yield from wrapped(
        f"tied up: {currency} in the first year's order beyond its need; left over: {currency} per vehicle in what "
        f"remains after the programme; {stock}",
        2,
    )


def _years(side: Side, currency: str) -> Iterator[str]:
    programme = side.reviewed.computed.opened.snapshot.proposal.programme
    found = side.lifetime
    if found is None:
        yield "  unknown: years or vehicles a year are not given"
        return
    columns = (
        Column("year"),
        *(Column(title, numeric=True) for title in ("vehicles", "price", "paid", "stock at its end")),
    )
    rows = [
        (
            year.name,
            str(year.volume),
            amount_column_text(year.price),
            amount_column_text(year.paid, 2),
            amount_column_text(year.stock, 2),
        )
        for year in found.years
    ]
    yield from table(columns, rows)
    yield from _totals(found, currency)
    if programme.volumes:
        yield from wrapped(
            "the rollup costs an even programme instead: the volume of the proposal in each of its years", 2, 4
        )
    down = decimal_text(Decimal(repr(programme.price_down_ratio)).scaleb(2))
    yield from wrapped(f"price-down {down} % a year on the quoted price as a whole", 2, 4)
    if programme.learning_ratio == 1:
        yield "  no learning (ratio 100 %)"
    else:
        ratio = decimal_text(Decimal(repr(programme.learning_ratio)).scaleb(2))
        yield from wrapped(f"learning {ratio} % on placing, test and assembly, {CONVENTIONS[found.convention]}", 2, 4)
        other = side.other_convention
        if other is not None:
            yield from wrapped(
                f"by the other, {CONVENTIONS[other.convention]}: {money_text(other.total, currency, 2)} for all", 2, 4
            )
    if side.gap is not None:
        yield from wrapped(gap_text(side.gap, currency), 2, 4)


def _totals(found: Lifetime, currency: str) -> Iterator[str]:
    yield from wrapped(
        f"{found.vehicles} vehicles: {money_text(found.total, currency, 2)}, {amount_text(found.mean_price)} each", 2, 4
    )
    once = "unknown" if found.one_off is None else money_text(found.one_off, currency, 2)
    share = "unknown" if found.one_off_per_vehicle is None else amount_text(found.one_off_per_vehicle)
    yield from wrapped(
        f"one-off cost {once}, amortised {share} a vehicle; paid at the start instead: "
        f"{money_text(found.paid_once, currency, 2)} for all",
        2,
        4,
    )
    if found.present_value is not None:
        yield from wrapped(
            f"present value {money_text(found.present_value, currency, 2)} (each year paid at its end); one-off cost "
            f"paid at the start: {money_text(found.paid_once_present_value, currency, 2)}",
            2,
            4,
        )
    else:
        yield "  no present value: no interest is given (programme.discount)"
