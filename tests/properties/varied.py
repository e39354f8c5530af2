"""Vehicles with fitment rates and groups of loads by chance."""

import random
from typing import Any

import msgspec

from bomtui.model.base import Base
from bomtui.model.proposal import Snapshot

FITMENTS = (None, None, 0.0, 0.07, 0.35, 0.5, 1.0)


def with_fitment(start: Snapshot, seed: int, fitments: tuple[float | None, ...] = FITMENTS) -> Snapshot:
    """The vehicle with fitments of loads, modules and devices by chance."""
    chance = random.Random(seed)

    def fitted(record: Any, **changes: object) -> Any:  # noqa: ANN401 - a load, module or device
        return with_fields(record, fitment_ratio=chance.choice(fitments), **changes)

    old = start.proposal
    variants = {
        key: with_fields(
            variant,
            modules={
                module_id: fitted(module, devices={ref: fitted(device) for ref, device in module.devices.items()})
                for module_id, module in variant.modules.items()
            },
        )
        for key, variant in old.variants.items()
    }
    loads = {load_id: fitted(load) for load_id, load in old.loads.items()}
    return Snapshot(proposal=with_fields(old, variants=variants, loads=loads), parts=start.parts)


def with_groups(start: Snapshot, seed: int) -> Snapshot:
    """The vehicle with most loads in groups by chance."""
    chance = random.Random(seed)
    loads = {
        load_id: with_fields(
            load,
            exclusive_group=chance.choice(("", "X1", "X2", "X3")),
            together_group=chance.choice(("", "", "T1", "T2")),
        )
        for load_id, load in start.proposal.loads.items()
    }
    return Snapshot(proposal=with_fields(start.proposal, loads=loads), parts=start.parts)


def with_fields(record: Base, **changes: object) -> Any:  # noqa: ANN401 - any record
    """A record with some fields changed."""
    return msgspec.structs.replace(record, **changes)
