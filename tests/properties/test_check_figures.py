"""Figures that checks hold against limits are explained like any other: origins of all numbers, texts with values."""

from functools import cache

import pytest

from bomtui.engine.calc import Recorder
from bomtui.engine.check_figures import check_figures
from bomtui.engine.electrics import Electrics
from bomtui.engine.rollup import rollup
from bomtui.engine.serving import serving_of
from bomtui.engine.tagging import tagged_snapshot
from bomtui.model.bound import Value
from bomtui.model.proposal import Snapshot
from tests.properties.explained import Figures, without_origin, wrong_steps
from tests.samples.rollups import VARIANTS, result, snapshot

every_variant = pytest.mark.parametrize("sample", [VARIANTS[1], VARIANTS[2]], ids="-".join)


@cache
def explained(vehicle: str, variant: str) -> Figures:
    """The figures of a variant, each remembering how it came about."""
    tagged, calc = tagged_snapshot(snapshot(vehicle)), Recorder()
    computed = rollup(tagged, variant, calc=calc)
    return dict(check_figures(Electrics(tagged, variant, computed.serving, calc), computed.result))


@pytest.mark.slow
@every_variant
def test_explaining_changes_no_figure(sample: tuple[str, str]) -> None:
    """The recorder gives every figure the same value as the plain gate."""
    assert explained(*sample) == plain(snapshot(sample[0]), *sample)


def plain(state: Snapshot, vehicle: str, variant: str) -> dict[str, Value]:
    """The same figures without a recorder."""
    serving = serving_of(state.proposal.variants[variant], state.proposal.loads)
    return check_figures(Electrics(state, variant, serving), result(vehicle, variant))


@pytest.mark.slow
@every_variant
def test_no_figure_has_an_input_without_origin(sample: tuple[str, str]) -> None:
    """Each number in each figure comes from a field, a reason, or another step."""
    assert without_origin(explained(*sample)) == (set(), [])


@pytest.mark.slow
@every_variant
def test_printed_formulas_give_the_printed_values(sample: tuple[str, str]) -> None:
    """Evaluated from its printed inputs, each printed formula gives the printed value."""
    wrong, checked = wrong_steps(explained(*sample))
    assert wrong == []
    assert checked > 1000
