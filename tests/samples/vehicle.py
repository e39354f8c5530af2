"""A demo vehicle: zones, modes, subsystems, loads and stand-in pairs."""

import re

import msgspec

from bomtui.model.load import Load
from bomtui.model.vehicle import Mode, Pair, Subsystem, Vehicle, Zone
from tests.samples.settings import PILOT_BUILD, START_OF_PRODUCTION
from tests.samples.tables import MILLI, PER_CENT, SECONDS_PER_HOUR, Row, known, number, table

PARKED = "PARK"
BATTERY_SENSOR = "battery sensor"
"""The one load that measures all the time while the vehicle is parked."""

BEHAVIOURS = {"P": "constant_power", "I": "constant_current"}
MODULATED_KINDS = frozenset(("fan", "motor", "heater", "solenoid", "prop_valve"))
"""Kinds whose share per mode is a PWM duty where the list gives a PWM frequency; lamps are switched fully on."""

FUNCTIONS = {"EXT": "exterior_lighting", "HVC": "climate", "BDY": "body", "AUD": "audio"}
ADDED = ("answers", "regulated_loads", "on_times", "coils", "strings", "diagnosis")
"""What was added to loads that the list left open."""

SWITCH_SLEEP_RATIO = 0.01
"""Wetting current of switches is pulsed while the electronics sleep."""
WAKE_SLEEP_RATIO = 0.02
"""Any other load in use while parked is woken periodically."""


def vehicle_of(name: str) -> tuple[Row, Vehicle]:
    """Return a vehicle as a whole, with its row."""
    (row,) = table("vehicles", vehicle=name)
    return row, Vehicle(
        supply=row["supply"],
        test_voltage_v=known(row["test_voltage_V"]),
        volume_per_year=int(row["volume_per_year"]),
        years=int(row["years"]),
        pilot_build=PILOT_BUILD,
        start_of_production=START_OF_PRODUCTION,
        battery_capacity_as=known(row["battery_Ah"], SECONDS_PER_HOUR),
        other_standby_a=known(row["other_standby_mA"], MILLI),
        battery_zone=row["battery_zone"],
        gateway_zone=row["gateway_zone"],
        parked_mode=row["parked_mode"],
        note=row["note"],
    )


def zones_of(name: str) -> dict[str, Zone]:
    """Return the zones; a distance stands once per pair, at the zone that comes first."""
    rows = table(f"{name}_zones")
    ids = [row["zone"] for row in rows]
    return {
        row["zone"]: Zone(
            name=row["name"],
            ambient_degc=known(row["ambient_C"]),
            distance_m={other: known(row[other]) for other in ids[place:]},
        )
        for place, row in enumerate(rows)
    }


def modes_of(name: str) -> dict[str, Mode]:
    """Return the operating modes; the ends of the supply range are invented."""
    invented = {row["mode"]: row for row in table("invented_modes", vehicle=name)}
    return {
        mode: Mode(
            name=invented[mode]["name"],
            supply_low_v=known(invented[mode]["supply_low_V"]),
            supply_nominal_v=known(row["supply_V"]),
            supply_high_v=known(invented[mode]["supply_high_V"]),
            supply_dip_v=number(row["dip_V"]),
            engine=invented[mode]["engine"],
            electronics=invented[mode]["electronics"],
            duration_s=number(invented[mode]["duration_s"]),
            alternator_current_a=known(row["alternator_A"]),
        )
        for row in table(f"{name}_modes")
        for mode in (row["mode"],)
    }


def subsystems_of(name: str) -> dict[str, Subsystem]:
    """Return the subsystems."""
    roles = roles_of(name)
    return {
        row["subsystem"]: Subsystem(
            name=row["name"], function=FUNCTIONS.get(row["subsystem"]), role=roles.get(row["subsystem"])
        )
        for row in table("subsystems", vehicle=name)
    }


def roles_of(name: str) -> dict[str, str]:
    """Return what loads and subsystems are for, where the trade keeps such loads apart."""
    return {row["what"]: row["role"] for row in table("invented_roles", vehicle=name)}


def loads_of(name: str, modes: list[str]) -> dict[str, Load]:
    """Return the load list."""
    filament_v = known(vehicle_of(name)[0]["filament_rated_V"])
    added = {what: {row["ref"]: row for row in table(f"invented_{what}", vehicle=name)} for what in ADDED}
    loads = {
        row["ref"]: _load(
            row,
            place,
            modes,
            filament_v,
            {what: rows[row["ref"]] for what, rows in added.items() if row["ref"] in rows},
        )
        for place, row in enumerate(table(f"{name}_loads"), 1)
    }
    roles = roles_of(name)
    return {
        load_id: msgspec.structs.replace(_with_pulses(name, load), role=roles.get(load_id))
        for load_id, load in loads.items()
    }


def _with_pulses(name: str, load: Load) -> Load:
    """Return a load with the energy and rate of its pulses where these are invented for its drive code."""
    rows = table("invented_pulses", vehicle=name, drive=load.drive)
    if not rows:
        return load
    return msgspec.structs.replace(
        load,
        behaviour="pulsed",
        pulse_energy_j=known(rows[0]["energy_mJ"], MILLI),
        pulse_rate_hz={row["mode"]: known(row["pulses_Hz"]) for row in rows},
        driven_effective_a=max(float(row["effective_A"]) for row in rows),
        note="invented: energy, rate and effective current of its pulses",
    )


def pairs_of(name: str) -> dict[str, Pair]:
    """Return the stand-in pairs."""
    return {
        f"{row['primary']}-{row['fallback']}": Pair(
            primary=row["primary"],
            stand_in=row["fallback"],
            stand_in_duty_ratio=known(row["fallback_duty_pct"], PER_CENT),
            reason=row["reason"],
        )
        for row in table(f"{name}_pairs")
    }


def contacts_of(row: Row) -> int:
    """Return how many contacts a switch row joins: the last bracket of its name that starts with a number."""
    counts = re.findall(r"\((\d+)[^)]*\)", row["name"])
    return int(counts[-1]) if row["drive"] == "DI" and counts else 1


def _load(row: Row, place: int, modes: list[str], filament_v: float, added: dict[str, Row]) -> Load:
    shares = {mode: known(row[f"d_{mode}"], PER_CENT) for mode in modes}
    modulated = bool(row["pwm_Hz"]) and row["kind"] in MODULATED_KINDS
    filament = row["behaviour"] == "R" and bool(row["rated_W"])
    why = [own["why"] for own in added.values() if "why" in own]
    return Load(
        subsystem=row["subsystem"],
        name=row["name"],
        kind=row["kind"],
        zone=row["zone"],
        drive=row["drive"],
        behaviour="filament" if filament else BEHAVIOURS.get(row["behaviour"], "resistive"),
        rated_power_w=number(row["rated_W"]),
        rated_voltage_v=filament_v if filament else None,
        test_current_a=known(row["i_test_A"]),
        peak_current_a=number(row["i_peak_A"]),
        peak_time_s=number(row["t_peak_ms"], MILLI),
        pwm_frequency_hz=number(row["pwm_Hz"]),
        resistance_ohm=number(added.get("coils", row)["R_ohm"]),
        inductance_h=number(added.get("coils", row)["L_mH"], MILLI),
        answers=added["answers"]["answers"] if "answers" in added else None,
        driven_current_a=number(added["strings"]["current_A"]) if "strings" in added else None,
        driven_voltage_v=number(added["strings"]["voltage_V"]) if "strings" in added else None,
        safety=row["asil"],
        contacts=contacts_of(row),
        time_share_ratio={mode: (1.0 if share else 0.0) if modulated else share for mode, share in shares.items()},
        pwm_duty_ratio={mode: share for mode, share in shares.items() if share} if modulated else {},
        on_time_max_s=number(added["on_times"]["on_time_s"]) if "on_times" in added else None,
        sleep_share_ratio=_sleep_share(row) if shares[PARKED] else None,
        diagnosis=tuple(added["diagnosis"]["faults"].split()) if "diagnosis" in added else (),
        current_regulation="regulated_loads" in added,
        source=f"demo load list row {place}",
        note=f"invented: {'; '.join(why)}" if why else "",
    )


def _sleep_share(row: Row) -> float:
    if row["drive"] == "DI":
        return SWITCH_SLEEP_RATIO
    return 1.0 if row["name"] == BATTERY_SENSOR else WAKE_SLEEP_RATIO
