"""Cost over volume and years as the screens show it."""

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

from bomtui.model.lifetime import Lifetime
from bomtui.services.errors import BomtuiError
from bomtui.services.files import FileExistsAlreadyError
from bomtui.services.present import amount_column_text, amount_text, counted, signed_amount_text
from bomtui.services.target import gap_text
from bomtui.services.volumes import Side, Volumes, crossing_text, stock_text
from bomtui.services.volumes_artefact import SUFFIXES, default_name, write_volumes
from bomtui.tui.from_services.assuming import assumption_lines
from bomtui.tui.marks import Mark
from bomtui.tui.report import Report, ReportColumn, ReportLine, ReportPage
from bomtui.tui.view import WriteOutcome


def volumes_report(found: Volumes) -> Report:
    """Return cost over volume as pages."""
    names = [side.reviewed.computed.variant for side in found.sides]
    opened = found.sides[0].reviewed.computed.opened
    return Report(
        snapshot_number=opened.snapshot.number,
        title=f"Cost over volume: {_names(names)}",
        sentences=tuple(_sentences(found, names)),
        pages=(_rows(found), _steps(found, names), _years(found, names)),
        path=default_name(found),
        suffixes=SUFFIXES,
        write=lambda path, overwrite: _write(found, path, overwrite=overwrite),
    )


def _names(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{names[0]} (first) and {names[1]} (second)"


def _sentences(found: Volumes, names: list[str]) -> Iterator[tuple[Mark, str]]:
    for side, name in zip(found.sides, names, strict=True):
        if side.gap is not None:
            over = side.gap.gap.amount > 0
            yield ("over" if over else "ok"), f"{name}: {gap_text(side.gap, found.currency)}."
    if len(names) > 1:
        for crossing in found.crossings:
            yield "note", f"Break-even: {crossing_text(crossing, (names[0], names[1]))}."
        if not found.crossings:
            span = f"between {found.rows[0].volume} and {found.rows[-1].volume} vehicles a year"
            yield "note", f"No break-even {span}."


def _rows(found: Volumes) -> ReportPage:
    columns = [ReportColumn("Vehicles a year")]
    for title in ("First", "Second") if len(found.sides) > 1 else ("Cost",):
        columns += [ReportColumn(title, align="right"), ReportColumn("Left over", align="right")]
    if len(found.sides) > 1:
        columns.append(ReportColumn("Difference", align="right"))
    lines = []
    for row in found.rows:
        cells = [str(row.volume) + (", as proposed" if row.is_own else "")]
        for side in row.sides:
            cells += [amount_column_text(side.total), amount_column_text(side.excess)]
        if len(row.sides) > 1:
            cells.append("?" if row.difference is None else signed_amount_text(row.difference))
        stock = "; ".join(filter(None, map(stock_text, row.sides)))
        lines.append(
            ReportLine(
                str(row.volume),
                0,
                tuple(cells),
                mark="check" if stock else "",
                word="stock" if stock else "",
                sentence=f"dearer with what is left over than the volume before; {stock}"
                if stock
                else "left over: money per vehicle in pieces that remain after the programme",
            )
        )
    return ReportPage("over volume", tuple(columns), tuple(lines), state_title="State")


def _steps(found: Volumes, names: list[str]) -> ReportPage:
    columns = (
        ReportColumn("Rung or package", max_width=40),
        ReportColumn("Volume", align="right"),
        ReportColumn("Saves", found.currency, "right"),
        ReportColumn("Tied up", found.currency, "right"),
        ReportColumn("Left over", found.currency, "right"),
    )
    lines: list[ReportLine] = []
    for side, name in zip(found.sides, names, strict=True):
        lines += _side_steps(side, name)
    return ReportPage("rungs and packages", columns, tuple(lines))


def _side_steps(side: Side, name: str) -> Iterator[ReportLine]:
    own = side.reviewed.computed.opened.snapshot.proposal.vehicle.volume_per_year
    ahead = [step for step in side.steps if own is None or step.volume > own]
    rungs = counted(len(ahead), "rung", "rungs")
    yield ReportLine(f"{name} rungs", 0, (f"{name}: {rungs} above the volume proposed",), has_children=bool(ahead))
    for step in ahead:
        saving = "?" if step.saving is None else amount_text(step.saving)
        yield ReportLine(
            f"{name} rung {step.part} {step.rung}",
            1,
            (f"{step.part} from {step.rung}", str(step.volume), saving),
            sentence=f"from {step.volume} vehicles a year on {step.part} costs what it does from {step.rung} pieces",
        )
    reels = counted(len(side.reels), "part", "parts")
    yield ReportLine(f"{name} reels", 0, (f"{name}: {reels} with pieces left over",), has_children=bool(side.reels))
    for reel in side.reels:
        yield ReportLine(
            f"{name} reel {reel.part}",
            1,
            (
                f"{reel.part} in packages of {reel.multiple}",
                "",
                "",
                amount_text(reel.tied_up, 2),
                amount_text(reel.left_over),
            ),
            sentence=f"{reel.part}: {reel.need} needed a year, {reel.order} ordered first, at least {reel.moq}; what "
            "is left over is per vehicle after the programme",
        )


def _years(found: Volumes, names: list[str]) -> ReportPage:
    columns = (
        ReportColumn("Year", max_width=52),
        ReportColumn("Vehicles", align="right"),
        ReportColumn("Price", found.currency, "right"),
        ReportColumn("Paid", found.currency, "right"),
        ReportColumn("Stock", found.currency, "right"),
    )
    lines: list[ReportLine] = []
    for side, name in zip(found.sides, names, strict=True):
        lines += _side_years(side, name, found.currency)
    lines += assumption_lines(found.sides[0].reviewed.computed.opened.snapshot.proposal)
    return ReportPage("over the years", columns, tuple(lines))


def _side_years(side: Side, name: str, currency: str) -> Iterator[ReportLine]:
    own = side.lifetime
    if own is None:
        yield ReportLine(f"{name} years", 0, (f"{name}: years or volumes are not given",))
        return
    programme = side.reviewed.computed.opened.snapshot.proposal.programme
    cells = (name, str(own.vehicles), amount_text(own.mean_price), amount_column_text(own.total, 2))
    down = f"{Decimal(repr(programme.price_down_ratio)).scaleb(2).normalize():f} % a year"
    yield ReportLine(
        f"{name} years",
        0,
        cells,
        has_children=True,
        sentence=f"price-down {down} on the quoted price; learning by the {_words(own)} convention",
    )
    for year in own.years:
        yield ReportLine(
            f"{name} year {year.name}",
            1,
            (
                year.name,
                str(year.volume),
                amount_column_text(year.price),
                amount_column_text(year.paid, 2),
                amount_column_text(year.stock, 2),
            ),
        )
    yield from _totals(side, own, name, currency)


def _words(own: Lifetime) -> str:
    return own.convention.replace("_", "-")


def _totals(side: Side, own: Lifetime, name: str, currency: str) -> Iterator[ReportLine]:
    rows = [
        ("one-off cost, amortised", "" if own.one_off_per_vehicle is None else amount_text(own.one_off_per_vehicle),
         "?" if own.one_off is None else amount_text(own.one_off, 2)),
        ("one-off cost paid at the start", "", amount_column_text(own.paid_once, 2)),
    ]  # fmt: skip
    if own.present_value is not None:
        rows.append(("present value, years paid at their end", "", amount_column_text(own.present_value, 2)))
        rows.append(("present value, one-off at the start", "", amount_column_text(own.paid_once_present_value, 2)))
    other = side.other_convention
    if other is not None and other.total != own.total:
        rows.append(
            (f"by the {_words(other)} convention", amount_text(other.mean_price), amount_column_text(other.total, 2))
        )
    for words, price, paid in rows:
        yield ReportLine(
            f"{name} {words}", 1, (words, "", price, paid), sentence=f"{words}: {paid} {currency} for all vehicles"
        )
    if own.present_value is None:
        yield ReportLine(f"{name} no present value", 1, ("no present value: no interest is given",))


def _write(found: Volumes, path_text: str, *, overwrite: bool) -> WriteOutcome:
    path = Path(path_text).expanduser()
    try:
        write_volumes(found, path, overwrite=overwrite)
    except FileExistsAlreadyError as error:
        return WriteOutcome("exists", f"{error}.")
    except BomtuiError as error:
        return WriteOutcome("refused", f"{error}.")
    return WriteOutcome("written", f"Wrote cost over volume to {path.absolute()}.")
