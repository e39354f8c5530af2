"""Cost over volume and years as JSON with a published schema."""

from pathlib import Path

from bomtui.export.cautions import CAUTIONS, DEMO_MARK, DEMO_NOTICE
from bomtui.export.compare_record import sum_of
from bomtui.export.json import json_bytes
from bomtui.export.records import Heading, amount_text, exact_text, heading
from bomtui.export.volumes_record import (
    AtVolumeRecord,
    CrossingRecord,
    LifetimeRecord,
    ReelRecord,
    RungRecord,
    SideRecord,
    TargetRecord,
    VolumeRecord,
    VolumesRecord,
    YearRecord,
)
from bomtui.model.lifetime import Lifetime
from bomtui.model.money import LINE_DIGITS
from bomtui.model.plain_text import clean
from bomtui.services.artefact import basis
from bomtui.services.errors import BomtuiError
from bomtui.services.files import write_output
from bomtui.services.volumes import Side, Volumes

SUFFIXES = (".json",)
"""File name endings that say in which format it is written."""


def volumes_json(found: Volumes) -> bytes:
    """Return cost over volume as JSON."""
    return json_bytes(volumes_record(found))


def write_volumes(found: Volumes, path: Path, *, overwrite: bool = True) -> None:
    """Write cost over volume to a file.

    Args:
        found: Cost over volume.
        path: Where to.
        overwrite: Whether a file of that name may be replaced.

    Raises:
        FileExistsAlreadyError: There is such a file and it may not be replaced.
        BomtuiError: The name does not end in .json, or the file cannot be written.
    """
    if path.suffix.lower() not in SUFFIXES:
        raise BomtuiError(f"{path}: expected a file name that ends in {', '.join(SUFFIXES)}")
    write_output(path, volumes_json(found), overwrite=overwrite)


def default_name(found: Volumes) -> str:
    """Return a file name for cost over volume; one of invented data says so."""
    opened = found.sides[0].reviewed.computed.opened
    words = [
        opened.stem,
        *(side.reviewed.computed.variant for side in found.sides),
        "volumes",
    ]
    if opened.snapshot.proposal.proposal.demo:
        words.append(DEMO_MARK.replace(" ", "-"))
    return f"{'_'.join(words)}.json"


def volumes_record(found: Volumes) -> VolumesRecord:
    """Return cost over volume as a record."""
    proposal = found.sides[0].reviewed.computed.opened.snapshot.proposal
    info, programme = proposal.proposal, proposal.programme
    variants = [side.reviewed.computed.variant for side in found.sides]
    title = f"Volumes: {clean(info.name) or 'untitled proposal'}, {' and '.join(variants)}"
    return VolumesRecord(
        format=1,
        title=f"{DEMO_MARK} - {title}" if info.demo else title,
        currency=found.currency,
        demo=info.demo,
        notice=DEMO_NOTICE if info.demo else "",
        price_down_ratio=programme.price_down_ratio,
        learning_ratio=programme.learning_ratio,
        discount_ratio=programme.discount_ratio,
        sides=tuple(map(_side, found.sides)),
        volumes=tuple(
            VolumeRecord(
                volume=row.volume,
                own=row.is_own,
                variants=tuple(
                    AtVolumeRecord(
                        variant=variant,
                        cost=sum_of(side.total),
                        left_over=sum_of(side.excess, LINE_DIGITS),
                        dearer_stock=side.dearer_stock,
                    )
                    for variant, side in zip(variants, row.sides, strict=True)
                ),
                difference=None if row.difference is None else exact_text(row.difference),
            )
            for row in found.rows
        ),
        break_even=tuple(
            CrossingRecord(volume=own.volume, cheaper=own.cheaper)  # type: ignore[arg-type]
            for own in found.crossings
        ),
        cautions=CAUTIONS,
    )


def _side(side: Side) -> SideRecord:
    return SideRecord(
        heading=Heading(**heading(basis(side.reviewed), "Volumes")),  # type: ignore[arg-type]
        target=None if side.gap is None else TargetRecord(target=exact_text(side.gap.target), gap=sum_of(side.gap.gap)),
        rungs=tuple(
            RungRecord(
                volume=own.volume,
                part=own.part,
                rung=own.rung,
                saving=None if own.saving is None else exact_text(own.saving),
            )
            for own in side.steps
        ),
        reels=tuple(
            ReelRecord(
                part=own.part,
                need=own.need,
                order=own.order,
                moq=own.moq,
                multiple=own.multiple,
                tied_up=exact_text(own.tied_up),
                left_over_per_vehicle=amount_text(own.left_over),
            )
            for own in side.reels
        ),
        lifetime=None if side.lifetime is None else _lifetime(side.lifetime),
        lifetime_by_other_convention=None if side.other_convention is None else _lifetime(side.other_convention),
    )


def _lifetime(found: Lifetime) -> LifetimeRecord:
    return LifetimeRecord(
        learning_convention=found.convention,
        vehicles=found.vehicles,
        years=tuple(
            YearRecord(
                year=year.name,
                volume=year.volume,
                price=sum_of(year.price),
                paid=sum_of(year.paid),
                stock=sum_of(year.stock),
            )
            for year in found.years
        ),
        total=sum_of(found.total),
        mean_price=exact_text(found.mean_price),
        present_value=None if found.present_value is None else sum_of(found.present_value),
        one_off=None if found.one_off is None else exact_text(found.one_off),
        one_off_per_vehicle=None if found.one_off_per_vehicle is None else exact_text(found.one_off_per_vehicle),
        paid_once=sum_of(found.paid_once),
        paid_once_present_value=(
            None if found.paid_once_present_value is None else sum_of(found.paid_once_present_value)
        ),
    )
