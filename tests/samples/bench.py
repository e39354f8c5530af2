"""The subject bench: one module per subject of the trade, so that every kind of load and of part is met once.

Its tables are kept by hand. Its load list is one that the program itself reads; its other tables name every device and
every channel.
"""

from collections.abc import Mapping

from bomtui.model.constraints import Constraints
from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.proposal import Assumption
from bomtui.model.variant import Acceptance, Amount, Device, Item, Module, Placement, Variant
from bomtui.model.vehicle import Decomposition
from bomtui.storage.tabular.loads import read_loads
from tests.samples.devices import Contents
from tests.samples.feeds import with_feeds
from tests.samples.networks import networks_of
from tests.samples.rails import rails_of, supply_of
from tests.samples.tables import DATA, Row, part_counts, table
from tests.samples.variants import is_protected

BENCH = "bench"
SUPPLY_CLASS = "12 V"


def bench_loads() -> dict[str, Load]:
    """Return the load list, as the program reads it.

    Raises:
        ValueError: The program does not take all of it.
    """
    found = read_loads(DATA / f"{BENCH}_loads.csv")
    if found.problems:
        raise ValueError(f"the load list has faults: {found.problems[0]}")
    return found.loads


def bench_variant(catalog: Mapping[str, Part]) -> Variant:
    """Return the one variant: a module per subject."""
    modules = {row["module"]: _module(row, catalog) for row in table(f"{BENCH}_modules")}
    placements = {
        row["load"]: Placement(
            on=tuple(row["on"].split()),
            joined=row["joined"] or None,
            stage=tuple(row["stage"].split()),
            rail=row["rail"],
        )
        for row in table(f"{BENCH}_placements")
    }
    accepted = {
        "ACC1": Acceptance(
            rule="standby.module",
            place="BNET",
            reason="it listens for the remote key; the parking time holds with it",
            by="bench",
            measured="973.9 uA",
            limit="100 uA",
        )
    }
    variant = Variant(
        name="one module per subject",
        modules=modules,
        placements=placements,
        accepted=accepted,
        networks=networks_of(BENCH, modules),
    )
    return with_feeds(BENCH, variant)


def bench_constraints() -> Constraints:
    """Return what the customer asks of parts; the bench keeps to all of it."""
    return Constraints(
        must_keep=("mcu-48",),
        forbidden=("cpu-map",),
        approved_makers=(
            "Vossumbry Silicon", "Haddeskar Power", "Kembrough Circuits", "Lindmarsh Imaging", "Grunnepole Fittings",
        ),
        minimum_grade="G3",
        refused_packages=("SIP",),
    )  # fmt: skip


def bench_assumptions() -> dict[str, Assumption]:
    """Return what the bench takes for granted."""
    return {
        "A01": Assumption(text="loads, currents, coils and pulses are invented", effect="every figure"),
        "A03": Assumption(
            text="throttle and proportional valve do not fail together: two modules, two makers of software",
            effect="both may be built to A",
            status="confirmed",
        ),
        "A02": Assumption(text="no attrition, freight, customs duty and one-off cost", effect="cost per vehicle"),
    }


def bench_decompositions() -> dict[str, Decomposition]:
    """Return what is redundant on the bench."""
    return {
        "D1": Decomposition(
            one="V01",
            other="I10",
            one_level="A",
            other_level="A",
            requirement="no torque without demand",
            independence="A03",
        )
    }


def _module(row: Row, catalog: Mapping[str, Part]) -> Module:
    rows = {own["ref"]: own for own in table(f"{BENCH}_devices", module=row["module"])}
    contents = Contents(parts={ref: own["part"] for ref, own in rows.items()})
    rails = rails_of(contents, catalog)
    (controller,) = contents.refs_of_kind("controller", catalog)
    has_protection = bool(contents.refs_of_kind("reverse", catalog))
    devices = {
        ref: Device(
            part=own["part"],
            supply=supply_of(ref, contents, rails, 0, catalog, SUPPLY_CLASS) | _pairs(own["supply"]),
            commanded_by=controller if catalog[own["part"]].pin_needs and ref != controller else "",
            counted_in_load=own["counted_in_load"],
            terminal=row["terminal"],
            behind_reverse_fet=is_protected(catalog[own["part"]]) if has_protection else None,
            carries=own["carries"] or None,
            note=own["note"],
        )
        for ref, own in rows.items()
    }
    items = {
        key: Item(quantity=Amount(quantity=quantity, unit=catalog[key].sale_unit))
        for key, quantity in part_counts(row["items"])
    }
    return Module(
        name=row["name"],
        zone=row["zone"],
        keep_alive=row["keep_alive"] == "Y",
        rails=rails,
        devices=devices,
        items=items,
    )


def _pairs(cell: str) -> dict[str, str]:
    """Return what is written as `input=V5` and differs from the habit of the samples."""
    return {name: rail for name, _, rail in (word.partition("=") for word in cell.split())}
