"""What the published demo tables say of each part, as claims about fields of the catalog."""

import csv
import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import NamedTuple

from tests.architecture.scan import REPO

SOURCE = REPO / "tests" / "data" / "catalog_source"

Row = dict[str, str]


class Claim(NamedTuple):
    """One published value.

    Attributes:
        column: Column of the published table.
        field: Column of the catalog without its unit, that must hold the value.
        value: The value in the unit of the model; None where it is published as unknown.
    """

    column: str
    field: str
    value: object


def rows(table: str) -> list[Row]:
    """Rows of a published table."""
    with (SOURCE / table).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def quantity(text: str, factor: str = "1") -> float | None:
    """A published number in the unit of the model; None for an empty cell."""
    return float(Decimal(text) * Decimal(factor)) if text else None


def count(text: str) -> int | None:
    """A published whole number."""
    return int(text) if text else None


def flag(text: str) -> bool:
    """A published Y or N."""
    return {"Y": True, "N": False}[text]


def split(text: str, mark: str) -> tuple[str, ...]:
    """Words of a published list."""
    return tuple(text.split(mark)) if text else ()


def quantities(row: Row, table: str) -> Iterator[Claim]:
    """Claims of columns that are a number with a unit: lines of column, catalog field, factor to the model's unit."""
    for line in table.strip().splitlines():
        column, field, factor = line.split()
        yield Claim(column, field, quantity(row[column], factor))


def counts(row: Row, table: str) -> Iterator[Claim]:
    """Claims of columns that are whole numbers."""
    for line in table.strip().splitlines():
        column, field = line.split()
        yield Claim(column, field, count(row[column]))


def texts(row: Row, table: str) -> Iterator[Claim]:
    """Claims of columns that are text."""
    for line in table.strip().splitlines():
        column, field = line.split()
        yield Claim(column, field, row[column])


def parts(row: Row) -> Iterator[Claim]:
    """Common fields."""
    # The table calls it dcdc; its type in the table of supplies is reverse.
    kind = "reverse" if row["key"] == "rev-1" else row["kind"]
    yield Claim("kind", "kind", kind)
    yield from texts(
        row,
        """
        maker maker
        mpn mpn
        description description
        package package
        grade grade
        lifecycle life_cycle
        asil safety
        """,
    )
    yield from counts(row, "lead_wk lead_weeks\nmoq moq\nmultiple multiple")
    yield Claim("alternate", "alternates", split(row["alternate"], " "))
    yield Claim("theta_ja_K_W", "theta_ja", quantity(row["theta_ja_K_W"]))


def prices(row: Row) -> Iterator[Claim]:
    """Price rungs; the name of the column says the currency."""
    rungs = [rung.split(":") for rung in row["breaks_eur"].split()]
    yield Claim("breaks_eur", "breaks", tuple((int(least), Decimal(price)) for least, price in rungs))
    yield Claim("breaks_eur", "currency", "EUR")


def controllers(row: Row) -> Iterator[Claim]:
    """Controllers; a kB of memory is 1024 byte."""
    yield from quantities(
        row,
        """
        core_MHz core_frequency 1e6
        flash_kB flash 1024
        ram_kB ram 1024
        data_flash_kB data_flash 1024
        vdd_V supplies.main.voltage 1
        i_run_mA supplies.main.current.typ 1e-3
        i_stop_uA standby_current.typ 1e-6
        """,
    )
    yield from counts(
        row,
        """
        gpio gpio_pins
        pwm pwm_pins
        adc adc_pins
        capture capture_pins
        canfd can_ports
        lin lin_ports
        eth eth_ports
        spi spi_ports
        """,
    )


def driver(row: Row) -> Iterator[Claim]:
    """What all tables of drivers have."""
    yield Claim("vclass", "nets", split(row["vclass"], "/"))
    yield from quantities(
        row,
        """
        pwm_max_Hz pwm_max 1
        iq_off_uA standby_current.typ 1e-6
        i_op_mA supplies.main.current.typ 1e-3
        """,
    )
    yield from counts(row, "ctl_pins control_pins\nadc_pins analog_pins")
    yield Claim("diag", "diagnosis", split(row["diag"], "+"))
    yield Claim("diag", "serial_bus", "serial" in split(row["diag"], "+"))


def switches(row: Row) -> Iterator[Claim]:
    """High-side and low-side switches."""
    yield from driver(row)
    yield Claim("channels", "channels", count(row["channels"]))
    yield from quantities(
        row,
        """
        rds25_mOhm rds_on.typ 1e-3
        hot_factor hot_rds_on 1
        i_ch_all_A current_all 1
        i_ch_one_A current_one 1
        i_lim_A current_limit.min 1
        v_clamp_V clamp.typ 1
        v_abs_V absolute_max 1
        t_rise_us rise_time.typ 1e-6
        t_fall_us fall_time.typ 1e-6
        e_clamp_mJ clamp_energy 1e-3
        """,
    )
    yield Claim("parallel_ok", "parallel_ok", flag(row["parallel_ok"]))


def high_side(row: Row) -> Iterator[Claim]:
    """High-side switches."""
    yield from switches(row)
    yield from quantities(row, "v_min_V operating_min 1\nv_max_V operating_max 1")


def low_side(row: Row) -> Iterator[Claim]:
    """Low-side switches; the description of one names its freewheel path and current sense."""
    yield from switches(row)
    if row["key"] == "ls-4x180":
        yield Claim("diag", "freewheel", value=True)
        yield Claim("diag", "current_sense", value=True)


def bridges(row: Row) -> Iterator[Claim]:
    """Half and full bridges: a half bridge is a channel."""
    yield from driver(row)
    yield Claim("half_bridges", "channels", count(row["half_bridges"]))
    yield from quantities(
        row,
        """
        rds25_total_mOhm rds_on.typ 1e-3
        hot_factor hot_rds_on 1
        i_all_A current_all 1
        i_one_A current_one 1
        i_lim_A current_limit.min 1
        v_max_V operating_max 1
        v_abs_V absolute_max 1
        """,
    )


def special_drivers(row: Row) -> Iterator[Claim]:
    """Gate, LED, ignition and injector drivers; their notes carry values too."""
    yield from driver(row)
    yield Claim("channels", "channels", count(row["channels"]))
    yield Claim("v_max_V", "operating_max", quantity(row["v_max_V"]))
    yield Claim("note", "note", row["note"])
    pre_driver = row["key"].startswith("gate-") or row["key"] == "ign-4"
    current = {"inj-6d": "current_limit.min"}.get(row["key"], "gate_current" if pre_driver else "current_all")
    yield Claim("i_ch_A", current, quantity(row["i_ch_A"]))
    patterns = (
        (r"clamp (\d+) V", "clamp.typ", "1"),
        (r"(\d+) mJ self-clamp", "clamp_energy", "1e-3"),
        (r"(\d+) mOhm", "rds_on.typ", "1e-3"),
        (r"hold (\d+) A", "current_all", "1"),
        (r"(\d+) % efficient", "efficiency.typ", "0.01"),
    )
    for pattern, field, factor in patterns:
        found = re.search(pattern, row["note"])
        if found:
            yield Claim("note", field, quantity(found[1], factor))
    topology = re.match(r"linear|buck|boost-buck", row["note"])
    if topology:
        yield Claim("note", "topology", topology[0])


def fets(row: Row) -> Iterator[Claim]:
    """Discrete FETs."""
    yield from quantities(
        row,
        """
        v_ds_V drain_source 1
        rds25_mOhm rds_on.typ 1e-3
        rds_hot_factor hot_rds_on 1
        i_cont_A drain_current 1
        q_g_nC gate_charge 1e-9
        t_rise_ns rise_time.typ 1e-9
        t_fall_ns fall_time.typ 1e-9
        theta_jc_K_W theta_jc 1
        tj_max_C junction_max 1
        """,
    )


def network(row: Row) -> Iterator[Claim]:
    """Transceivers and radios; a supply of 12/24 is the battery."""
    yield from texts(row, "bus bus\nwake wake")
    yield from counts(row, "ports ports\nctl_pins control_pins")
    yield from quantities(
        row,
        """
        rate_kbit_s rate 1e3
        i_active_mA supplies.main.current.typ 1e-3
        i_recessive_mA supplies.main.idle_current.typ 1e-3
        i_sleep_uA standby_current.typ 1e-6
        node_cap_pF node_capacitance 1e-12
        """,
    )
    battery = "/" in row["v_supply_V"]
    if battery:
        yield Claim("v_supply_V", "nets", split(row["v_supply_V"], "/"))
    yield Claim("v_supply_V", "supplies.main.voltage", None if battery else quantity(row["v_supply_V"]))


def supplies(row: Row) -> Iterator[Claim]:
    """Supplies; the quiescent current is also what one without ports draws while it runs."""
    yield Claim("type", "kind", row["type"])
    yield from quantities(
        row,
        """
        v_in_min_V operating_min 1
        v_in_max_V operating_max 1
        v_out_V output 1
        i_out_A output_current 1
        iq_uA standby_current.typ 1e-6
        efficiency_pct efficiency.typ 0.01
        dropout_V dropout 1
        """,
    )
    yield from counts(row, "rails rails\ncan_ports can_ports\nlin_ports lin_ports\nhs_aux auxiliary_outputs")
    yield Claim("watchdog", "watchdog", flag(row["watchdog"]))
    yield Claim("note", "note", row["note"])
    frequency = re.fullmatch(r"([\d.]+) ([kM])Hz", row["note"])
    if frequency:
        factor = {"k": "1e3", "M": "1e6"}[frequency[2]]
        yield Claim("note", "switching_frequency", quantity(frequency[1], factor))
    if not int(row["can_ports"] or 0) + int(row["lin_ports"] or 0):
        yield Claim("iq_uA", "supplies.input.current.typ", quantity(row["iq_uA"], "1e-6"))


def sensors(row: Row) -> Iterator[Claim]:
    """Sensors; those for 12 V hang on the battery."""
    yield from texts(
        row,
        """
        measures measures
        output output_form
        range measuring_range
        accuracy accuracy
        """,
    )
    yield Claim("output", "serial_bus", row["output"] == "serial")
    yield Claim("ctl_pins", "control_pins", count(row["ctl_pins"]))
    yield Claim("i_supply_mA", "supplies.main.current.typ", quantity(row["i_supply_mA"], "1e-3"))
    battery = row["v_supply_V"] == "12"
    yield Claim("v_supply_V", "supplies.main.voltage", None if battery else quantity(row["v_supply_V"]))


def audio_display_memory(row: Row) -> Iterator[Claim]:
    """Amplifiers, display parts and memories; only an amplifier's channels carry loads."""
    amplifier = row["type"] == "amplifier"
    yield from texts(
        row,
        """
        type family
        rating rating
        size size
        bus bus
        """,
    )
    yield Claim("channels", "channels", count(row["channels"]) if amplifier else None)
    yield Claim("ctl_pins", "control_pins", count(row["ctl_pins"]))
    yield from quantities(row, "i_sleep_uA standby_current.typ 1e-6\nefficiency_pct efficiency.typ 0.01")
    if amplifier:
        yield Claim("rating", "channel_power", quantity(row["rating"].split(" W")[0]))
    if row["type"] in {"EEPROM", "NOR", "DRAM", "managed NAND"}:
        yield Claim("bus", "serial_bus", row["bus"] == "SPI")
    if row["v_supply_V"] == "1.8/3.3":
        yield Claim("v_supply_V", "supplies.core.voltage", 1.8)
        yield Claim("v_supply_V", "supplies.io.voltage", 3.3)
        yield Claim("i_idle_mA", "family", row["type"])  # split in two: see the test of sums
    else:
        yield Claim("v_supply_V", "supplies.main.voltage", quantity(row["v_supply_V"].removesuffix("+BL")))
        yield Claim("i_idle_mA", "supplies.main.current.typ", quantity(row["i_idle_mA"], "1e-3"))


def passive_mech(row: Row) -> Iterator[Claim]:
    """Passives, connectors, boards and housings."""
    kind = row["kind"]
    yield from texts(row, "kind family\nip_class ingress")
    yield Claim("weight_g", "mass", quantity(row["weight_g"], "1e-3"))
    yield Claim("i_contact_A", "contact_current", quantity(row["i_contact_A"]))
    yield Claim("ways_or_layers", "layers" if kind == "board" else "ways", count(row["ways_or_layers"]))
    yield from _main_value(row)
    if kind == "case":
        power, rise = re.findall(r"(\d+) [WK]", row["rating"])
        yield Claim("rating", "case_power", quantity(power))
        yield Claim("rating", "case_rise", quantity(rise))
        area = re.fullmatch(r"holds up to ([\d.]+) dm2", row["extra"])
        yield Claim("extra", "board_area_max", quantity(area[1] if area else "", "1e-2"))
        yield Claim("extra", "placements", 0)
    else:
        yield Claim("rating", "rating", row["rating"])
        yield Claim("extra", "note", row["extra"])
    if kind == "board":
        # Priced by area; boards and housings are not placed.
        yield Claim("area_dm2", "sale_unit", "dm2")
        yield Claim("area_dm2", "placements", 0)
    else:
        yield Claim("area_dm2", "sale_unit", "piece")


def _main_value(row: Row) -> Iterator[Claim]:
    number = row["main_value"].split(" ")[0]
    if row["kind"] == "suppressor":
        yield Claim("main_value", "suppressor_clamp", quantity(row["main_value"].split(" ")[1]))
    elif row["kind"] == "capacitor":
        yield Claim("main_value", "capacitance", quantity(number, "1e-6"))
        yield Claim("rating", "rated_voltage", quantity(row["rating"].split(" ")[0]))
    elif row["kind"] == "shunt":
        yield Claim("main_value", "shunt", quantity(number, "1e-3"))
    elif row["kind"] == "lot":
        yield Claim("main_value", "placements", int(number))
    elif row["kind"] == "header" and number.isdecimal():
        # The table says "121 ways" of the 120-way header and 120 in its column of ways.
        yield Claim("main_value", "ways", 120 if row["key"] == "conn-120" else int(number))
    elif row["main_value"] == "coaxial":
        yield Claim("main_value", "bus", "coaxial")
    else:
        # Crystal, boards and cases: words that the description repeats, or nothing.
        yield Claim("main_value", "family", row["kind"])


TABLES: dict[str, Callable[[Row], Iterator[Claim]]] = {
    "cat_parts.csv": parts,
    "cat_prices.csv": prices,
    "cat_controller.csv": controllers,
    "cat_high_side.csv": high_side,
    "cat_low_side.csv": low_side,
    "cat_bridge.csv": bridges,
    "cat_gate_led_ign_inj.csv": special_drivers,
    "cat_fet.csv": fets,
    "cat_network.csv": network,
    "cat_supply.csv": supplies,
    "cat_sensor.csv": sensors,
    "cat_audio_display_memory.csv": audio_display_memory,
    "cat_passive_mech.csv": passive_mech,
}
"""What each table claims."""
