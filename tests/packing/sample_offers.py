"""Packing problems of the samples, each posed once for all tests."""

from functools import cache

from bomtui.engine.rollup import Computed, rollup
from bomtui.model.finding import Review
from bomtui.packing.kept import Keep
from bomtui.packing.offer import Aim, Offer, Request, offer_of
from bomtui.rules.run import review
from tests.samples.rollups import snapshot


@cache
def computed(vehicle: str, variant: str) -> Computed:
    """A committed variant, computed."""
    return rollup(snapshot(vehicle), variant)


@cache
def reviewed(vehicle: str, variant: str) -> Review:
    """The same with its findings."""
    own = computed(vehicle, variant)
    return review(snapshot(vehicle), variant, own.result, own.serving, outputs=own.modules)


@cache
def offer(vehicle: str, variant: str, modules: tuple[str, ...], keep: Keep = "warnings", aim: Aim = "cost") -> Offer:
    """The packing problem of some of its modules."""
    request = Request(modules, keep, aim)
    return offer_of(computed(vehicle, variant), reviewed(vehicle, variant).findings, snapshot(vehicle).parts, request)
