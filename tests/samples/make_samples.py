"""Build the sample proposals from their tables and write their files.

`python -m tests.samples.make_samples` writes `sample_projects/`; a test holds that the committed files are its output.
"""

from pathlib import Path

import msgspec

from bomtui.model.load import Load
from bomtui.model.part import Part
from bomtui.model.proposal import Assumption, Info, Proposal
from bomtui.model.variant import Variant
from bomtui.storage.frozen_parts import parts_path, parts_text
from bomtui.storage.proposal.write import proposal_text
from bomtui.storage.shipped import read_shipped_catalog
from tests.samples.bench import (
    BENCH,
    bench_assumptions,
    bench_constraints,
    bench_decompositions,
    bench_loads,
    bench_variant,
)
from tests.samples.settings import AS_OF, CURRENCY, assumptions, settings_of
from tests.samples.software import with_software
from tests.samples.variants import variant_of
from tests.samples.vehicle import loads_of, modes_of, pairs_of, subsystems_of, vehicle_of, zones_of

SAMPLES = Path(__file__).parents[2] / "sample_projects"

COMMENT = "# Demo data. Vehicle, makers, parts and prices are invented; nothing here may be built from."


def build_sweeper() -> tuple[Proposal, dict[str, Part]]:
    """Build the street sweeper and its frozen parts."""
    return _demo("sweeper", ("distributed", "zone"), "zone")


def build_van() -> tuple[Proposal, dict[str, Part]]:
    """Build the parcel van and its frozen parts."""
    return _demo("van", ("distributed", "central"), "central")


def build_bench() -> tuple[Proposal, dict[str, Part]]:
    """Build the subject bench and its frozen parts."""
    catalog = _catalog()
    variants = {BENCH: bench_variant(catalog)}
    proposal, parts = _build(BENCH, bench_loads(), variants, BENCH, bench_assumptions(), catalog)
    own = {"constraints": bench_constraints(), "decompositions": bench_decompositions()}
    return msgspec.structs.replace(proposal, **own), parts


BUILDERS = {"street_sweeper": build_sweeper, "parcel_van": build_van, "subject_bench": build_bench}
"""What builds each sample, by its folder."""


def sample_texts() -> dict[Path, str]:
    """Return the text of every sample file by its path."""
    texts = {}
    for name, build in BUILDERS.items():
        proposal, parts = build()
        path = SAMPLES / name / f"{name}.toml"
        texts[path] = proposal_text(proposal, COMMENT)
        texts[parts_path(path)] = parts_text(parts)
    return texts


def main() -> None:
    """Write the sample files."""
    for path, text in sample_texts().items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")


def _catalog() -> dict[str, Part]:
    catalog, problems = read_shipped_catalog()
    if problems:
        raise ValueError(f"the catalog has faults: {problems[0]}")
    return catalog


def _demo(name: str, variant_ids: tuple[str, ...], default_variant: str) -> tuple[Proposal, dict[str, Part]]:
    catalog = _catalog()
    _, vehicle = vehicle_of(name)
    assert vehicle.supply is not None
    loads = loads_of(name, list(modes_of(name)))
    settings = settings_of(name, loads)
    variants = {
        variant: variant_of(f"{name}_{variant}", loads, settings, catalog, vehicle.supply) for variant in variant_ids
    }
    return _build(name, loads, variants, default_variant, assumptions(), catalog)


def _build(
    name: str,
    loads: dict[str, Load],
    variants: dict[str, Variant],
    default_variant: str,
    assumed: dict[str, Assumption],
    catalog: dict[str, Part],
) -> tuple[Proposal, dict[str, Part]]:
    row, vehicle = vehicle_of(name)
    variants = {key: with_software(variant, catalog) for key, variant in variants.items()}
    modules = [module for variant in variants.values() for module in variant.modules.values()]
    used = {device.part for module in modules for device in module.devices.values()}
    used |= {key for module in modules for key in module.items}
    proposal = Proposal(
        proposal=Info(
            name=row["name"],
            revision="A",
            currency=CURRENCY,
            default_variant=default_variant,
            as_of=AS_OF,
            demo=True,
            note="invented vehicle with faults on purpose; for learning and tests only",
        ),
        vehicle=vehicle,
        zones=zones_of(name),
        modes=modes_of(name),
        subsystems=subsystems_of(name),
        loads=loads,
        pairs=pairs_of(name),
        settings=settings_of(name, loads),
        assumptions=assumed,
        variants=variants,
    )
    return proposal, {key: part for key, part in catalog.items() if key in used}


if __name__ == "__main__":
    main()
