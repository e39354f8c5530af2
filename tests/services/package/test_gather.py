"""The artefacts of a package say what the rollup, the checks and the review say, and leave nothing out."""

import csv
import io
from pathlib import Path
from typing import Any

import pytest

from bomtui.export.notation import Notation
from bomtui.export.package.channels import ChannelList
from bomtui.export.package.findings import FindingsList
from bomtui.export.package.power import VEHICLE, PowerBudget
from bomtui.export.package.standby import StandbyBudget
from bomtui.export.package.text_files import artefact_csv, artefact_markdown
from bomtui.export.package.thermal import ThermalSheet
from bomtui.export.parts_list_record import PartsListRecord
from bomtui.export.records import Bounded, rounded
from bomtui.export.table import FigureCell, flat
from bomtui.model.bound import Value, ends
from bomtui.services.explain import named_figures
from bomtui.storage.tabular.loads import read_loads
from bomtui.storage.tabular.parts import PartRow, read_parts
from tests.services.package.sample import gathered, subject

SAMPLES = [("sweeper", "zone", "distributed"), ("bench", "bench", "")]


def _record(name: str, sample: tuple[str, str, str], kind: type[Any]) -> Any:  # noqa: ANN401 - a record of the kind
    record = gathered(*sample)[name].record
    assert isinstance(record, kind)
    return record


def _low(value: object) -> float | None:
    """The lower end of a figure as records print it."""
    if value is None:
        return None
    assert isinstance(value, float) or hasattr(value, "low")
    low = ends(value)[0]  # type: ignore[arg-type]
    return rounded(low)


@pytest.mark.slow
@pytest.mark.parametrize("sample", SAMPLES)
def test_channels_are_all_listed(sample: tuple[str, str, str]) -> None:
    """Per module as many channels are used as the rollup counts, and used and spare ones are all that it has."""
    record = _record("channel-list", sample, ChannelList)
    for module, result in subject(*sample[:2]).rollup.modules.items():
        rows = [row for row in record.channels if row.module == module and row.ref and row.channel is not None]
        loads = {(row.ref, row.channel) for row in rows if row.state == "used" and not row.load.startswith("feed ")}
        spare = {(row.ref, row.channel) for row in rows if row.state == "spare"}
        feeds = {(row.ref, row.channel) for row in rows if row.load.startswith("feed ")}
        assert len(loads) == result.channels.used
        assert len(loads | spare | feeds) == result.channels.total
        listed = {row.load for row in record.channels if row.module == module}
        assert set(result.loads) <= listed


@pytest.mark.parametrize("sample", SAMPLES)
def test_pins_add_to_those_of_the_rollup(sample: tuple[str, str, str]) -> None:
    """The needs of all controllers of a module are the needs that the rollup matches."""
    record = _record("channel-list", sample, ChannelList)
    for module, result in subject(*sample[:2]).rollup.modules.items():
        needs: dict[str, int] = {}
        for row in record.pins:
            if row.module == module and row.needed is not None:
                needs[row.function] = needs.get(row.function, 0) + row.needed
        assert needs == result.pins.needs


@pytest.mark.parametrize("sample", SAMPLES)
def test_the_thermal_sheet_is_what_the_checks_judge(sample: tuple[str, str, str]) -> None:
    """Every part with a thermal resistance is listed, and its junction is the figure of the check in that mode."""
    record, own = _record("thermal-sheet", sample, ThermalSheet), subject(*sample[:2])
    figures = named_figures(own.reviewed.computed.memo)
    listed = {f"{row.module}.{row.ref}" for row in record.devices}
    for module_id, module in own.variant.modules.items():
        for ref, device in module.devices.items():
            part = own.parts.get(device.part)
            if part is not None and part.theta_ja_k_per_w is not None:
                assert f"{module_id}.{ref}" in listed
    kinds = {row.kind for row in record.devices}
    assert {"controller", "high_side"} <= kinds
    assert kinds & {"sbc", "ldo", "dcdc"}
    compared = 0
    for row in record.devices:
        figure: Any = figures.get(f"{row.module}.{row.ref}:junction_on_degc@{row.mode}/max")
        if row.state in {"within", "over"}:
            assert row.junction_on_degc.typ == _low(figure)
            assert row.junction_max_degc is not None
            assert (row.state == "over") == (row.junction_on_degc.typ > row.junction_max_degc)
            compared += 1
    assert compared > 20


def test_errors_of_hot_chips_are_over_in_the_thermal_sheet() -> None:
    """The sheet and the check of junctions name the same chips."""
    record = _record("thermal-sheet", SAMPLES[0], ThermalSheet)
    over = {f"{row.module}.{row.ref}" for row in record.devices if row.state in {"over", "runaway"}}
    findings = subject().reviewed.review.findings
    failed = {
        own.place for own in findings if (own.rule, own.outcome, own.severity) == ("heat.junction", "failed", "error")
    }
    assert over == failed
    assert over


@pytest.mark.parametrize("sample", SAMPLES)
def test_standby_terms_add_to_the_sums(sample: tuple[str, str, str]) -> None:
    """What the parts and loads of a module draw while parked adds to the sum of the module, at both corners."""
    record = _record("standby-budget", sample, StandbyBudget)
    assert record.modules[-1].module == VEHICLE
    for own in record.modules[:-1]:
        terms = [row.current_a for row in record.terms if row.module == own.module]
        for corner in ("typ", "max"):
            known = [value for term in terms if (value := getattr(term, corner)) is not None]
            assert sum(known) == pytest.approx(getattr(own.current_a, corner), rel=1e-4, abs=1e-9)
        assert any(term.bound != "exact" for term in terms) == (own.current_a.bound != "exact")


def test_the_power_budget_holds_every_mode_and_supply() -> None:
    """Vehicle and modules stand with every mode; a supply gives what its check says, with the margin to its limit."""
    record, own = _record("power-budget", SAMPLES[0], PowerBudget), subject()
    assert len(record.modes) == len(own.proposal.modes) * (1 + len(own.variant.modules))
    figures: dict[str, Any] = {**named_figures(own.reviewed.computed.memo)}
    for row in record.supplies:
        found: Value = figures[f"{row.module}.{row.ref}:output_a@{row.mode}/max"]
        assert row.output_a.typ == _low(found)
        if row.limit_a is not None and isinstance(found, float):
            assert row.margin_ratio.typ == pytest.approx((row.limit_a - found) / row.limit_a, rel=1e-5)
    inputs = {(row.module, row.ref, row.supply_input) for row in record.consumers}
    devices = [
        (module_id, ref, name)
        for module_id, module in own.variant.modules.items()
        for ref, device in module.devices.items()
        for name in own.parts[device.part].supplies
    ]
    assert inputs == set(devices)


def test_findings_have_their_status() -> None:
    """All findings are there, in words and as records, with the rules that were asked."""
    record, review = _record("findings", SAMPLES[0], FindingsList), subject().reviewed.review
    assert len(record.rows) == len(record.findings) == len(review.findings)
    assert [row.rule for row in record.rules] == [count.rule for count in review.counts]


NOTATIONS = [Notation(), Notation(decimal_comma=True, separator=";"), Notation(separator="\t")]


@pytest.mark.parametrize("notation", NOTATIONS)
def test_a_load_list_is_read_back(notation: Notation, tmp_path: Path) -> None:
    """Reading our own load list gives the very loads it was written from, whatever the decimal mark."""
    artefact = gathered()["load-list"]
    path = tmp_path / "loads.csv"
    path.write_bytes(artefact_csv(artefact, artefact.tables[0], notation))
    read = read_loads(path)
    assert read.problems == ()
    assert read.loads == dict(subject().proposal.loads)


@pytest.mark.parametrize("notation", NOTATIONS)
def test_a_parts_list_is_read_back(notation: Notation, tmp_path: Path) -> None:
    """Every line of our own parts list comes back with its part, quantity and unit price, whatever the decimal mark."""
    artefact = gathered()["parts-list"]
    assert isinstance(artefact.record, PartsListRecord)
    path = tmp_path / "parts.csv"
    path.write_bytes(artefact_csv(artefact, artefact.tables[0], notation))
    read = read_parts(path)
    assert (read.questions, read.problems) == ((), ())
    found = [(row.key, row.mpn, str(row.quantity), _prices(row)) for row in read.rows]
    assert found == [
        (line.part, line.mpn, str(line.quantity), [line.unit_price] if line.unit_price else [])
        for line in artefact.record.lines
    ]


def _prices(row: PartRow) -> list[str]:
    return [str(rung.price) for rung in row.values.get("breaks", ())]


@pytest.mark.parametrize("notation", NOTATIONS[1:])
def test_tables_say_the_same_in_every_notation(notation: Notation) -> None:
    """A table written with other marks and separators reads back to the same cells."""
    for artefact in gathered().values():
        for table in artefact.tables:
            numeric = [column.kind in {"number", "amount"} for column in flat(table).columns]
            plain = _cells(artefact_csv(artefact, table), ",")
            other = _cells(artefact_csv(artefact, table, notation), notation.separator)
            count = 1 + len(table.rows)
            assert plain[0] == other[0]
            for one, two in zip(plain[1:count], other[1:count], strict=True):
                cells = zip(two, numeric, strict=True)
                assert one == [cell.replace(",", ".") if is_number else cell for cell, is_number in cells]
            assert plain[count:] == other[count:] or table.total is not None


def _cells(data: bytes, separator: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode()), delimiter=separator, strict=True))


@pytest.mark.parametrize("sample", SAMPLES)
def test_csv_rows_have_a_cell_per_column(sample: tuple[str, str, str]) -> None:
    """Every row of every table has as many cells as the header, the rows about it too (RFC 4180, clause 2)."""
    for artefact in gathered(*sample).values():
        for table in artefact.tables:
            rows = _cells(artefact_csv(artefact, table), ",")
            assert {len(row) for row in rows} == {len(rows[0])}


def test_every_format_prints_the_same_cells() -> None:
    """CSV and Markdown of a table hold the numbers of its rows, an unknown as nothing or as the word."""
    artefact = gathered()["thermal-sheet"]
    (table,) = artefact.tables
    rows = _cells(artefact_csv(artefact, table), ",")
    assert len(rows[0]) == len(flat(table).columns)
    page = artefact_markdown(artefact).decode()
    for row in table.rows:
        figure = row[8]
        assert isinstance(figure, FigureCell)
        if figure.typ is not None:
            assert figure.typ in page


def test_demo_data_are_marked_and_unsendable_is_said() -> None:
    """Every artefact of a sample says that its data are invented, that it may not be sent, and what was checked."""
    for artefact in gathered().values():
        assert "DEMO DATA" in artefact.heading.title
        for data in (artefact_markdown(artefact), artefact_csv(artefact, artefact.tables[0])):
            text = data.decode()
            assert "NOT SENDABLE: 96 open errors" in text.replace("\\", "")
            assert "DEMO DATA" in text
            assert "invented parts" in text
            assert "content hash" in text


def test_figures_without_numbers_stay_empty() -> None:
    """An unknown figure has an empty cell, its bound and its count, never a zero."""
    found = 0
    for artefact in gathered("bench", "bench", "").values():
        for table in artefact.tables:
            keys = [column.key for column in flat(table).columns]
            for row in flat(table).rows:
                for key, cell in zip(keys, row, strict=True):
                    if key.endswith("_bound") and cell is not None:
                        base = key.removesuffix("_bound")
                        if row[keys.index(base)] is None:
                            assert row[keys.index(f"{base}_unknown")] != "0"
                            found += 1
    assert found


def test_bounds_are_printed() -> None:
    """A figure that is a lower bound has its sign and its count."""
    record = _record("power-budget", SAMPLES[0], PowerBudget)
    bounds: list[Bounded] = [row.supply_a for row in record.modes if row.supply_a.bound == "at_least"]
    assert bounds
    page = artefact_markdown(gathered()["power-budget"]).decode().replace("\\", "")
    assert f">= {bounds[0].typ:.6g}" in page
    assert "unknown)" in page
