"""Both samples as the screens see them: the figures of the services, in their words, each one explainable."""

from collections import Counter
from pathlib import Path

import pytest

from bomtui.model.rollup import Rollup
from bomtui.services.explain import figure_names
from bomtui.services.open import open_proposal
from bomtui.services.review import review
from bomtui.services.rollup import compute
from bomtui.tui.view import CheckedView, Meter
from tests.tui.from_services.real import SWEEPER, VAN, VARIANTS, all_places, opened

SAMPLE_VARIANTS = pytest.mark.parametrize(
    ("path", "variant"), VARIANTS, ids=[f"{path.name} {variant}" for path, variant in VARIANTS]
)


def view_of(path: Path, variant: str, settings_folder: Path) -> CheckedView:
    """A computed variant."""
    return opened(path, settings_folder).view(variant)


def rollup_of(path: Path, variant: str) -> Rollup:
    """The figures behind it."""
    return compute(open_proposal(path), variant).rollup


def meter(view: CheckedView, title: str) -> Meter:
    """One of the meters."""
    return next(meter for meter in view.meters if meter.title == title)


def test_the_meters_show_the_published_figures(tmp_path: Path) -> None:
    """Parts, total, standby and parking of the sweeper read as its check values (data tables of the sample)."""
    zone = view_of(SWEEPER, "zone", tmp_path)
    assert meter(zone, "Parts").value == "439.2334 EUR"
    assert meter(zone, "Total").value == "641.1634 EUR"
    assert meter(zone, "Standby").value.startswith("963.7 uA typ, ")
    assert meter(zone, "Parking").value.startswith("119.8 typ ")
    distributed = view_of(SWEEPER, "distributed", tmp_path)
    assert meter(distributed, "Parts").value == "476.5482 EUR"
    assert meter(distributed, "Total").value == "761.7432 EUR"
    assert meter(distributed, "Standby").value.startswith("999.2 uA typ, ")
    assert meter(distributed, "Parking").value.startswith("119.5 typ ")


def test_the_supply_is_held_against_the_alternator_of_the_worst_mode(tmp_path: Path) -> None:
    """The sweeper's largest current is in the night's work; the van's city night exceeds the alternator at idle."""
    sweeper, van = view_of(SWEEPER, "zone", tmp_path), view_of(VAN, "central", tmp_path)
    assert (sweeper.mode, meter(sweeper, "Supply").limit, meter(sweeper, "Supply").mark) == (
        "WORK_NIGHT", "of 120 A in WORK_NIGHT", "check",
    )  # fmt: skip
    assert (van.mode, meter(van, "Supply").limit, meter(van, "Supply").mark) == (
        "CITY_NIGHT_WET", "of 75 A in CITY_NIGHT_WET", "over",
    )  # fmt: skip
    assert "typ over" in meter(van, "Supply").word


@SAMPLE_VARIANTS
def test_the_checks_are_counted_as_the_review_counts_them(path: Path, variant: str, tmp_path: Path) -> None:
    """The meter says how many places were checked, how many could not be, and that nothing else was."""
    view = view_of(path, variant, tmp_path)
    counts = review(compute(open_proposal(path), variant)).review.counts
    places, undecided = sum(count.places for count in counts), sum(count.undecided for count in counts)
    checked = meter(view, "Checked")
    assert checked.value.startswith(f"{places} places: ")
    assert f"{undecided} not checkable" in f"{checked.value} {checked.word}"
    assert checked.mark == ("unknown" if undecided else "")
    assert checked.note == f"by {len(counts)} rules, nothing else was checked"
    assert f"checked {places} places" in view.checks


@SAMPLE_VARIANTS
def test_every_module_device_item_and_load_has_its_line(path: Path, variant: str, tmp_path: Path) -> None:
    """The tree by modules holds what the variant holds; both trees hold every load of the vehicle."""
    view = view_of(path, variant, tmp_path)
    proposal = open_proposal(path).snapshot.proposal
    modules = proposal.variants[variant].modules
    by_modules = {place.address for module in view.modules for place in (module, *module.children)}
    wanted = {f"{key}.{ref}" for key, module in modules.items() for ref in module.devices}
    wanted |= {f"{key}.item {part}" for key, module in modules.items() for part in module.items}
    networks = proposal.variants[variant].networks
    wanted |= {f"network {key}.node {node}" for key, network in networks.items() for node in network.nodes}
    wanted |= {f"network {key}.message {own}" for key, network in networks.items() for own in network.messages}
    assert wanted | set(modules) | {f"network {key}" for key in networks} <= by_modules
    loads = Counter(place.address for place in all_places(view) if place.address in proposal.loads)
    assert set(loads) == set(proposal.loads)
    in_subsystems = [load.address for subsystem in view.subsystems() for load in subsystem.children]
    assert sorted(in_subsystems) == sorted(proposal.loads)


@SAMPLE_VARIANTS
def test_the_vehicle_shows_the_figures_of_the_rollup(path: Path, variant: str, tmp_path: Path) -> None:
    """The first line carries the vehicle's own figures, each module those of the module."""
    view, rollup = view_of(path, variant, tmp_path), rollup_of(path, variant)
    cells = view.vehicle.cells
    assert cells.parts_cost == str(rollup.cost.elements["parts"].amount)
    assert cells.cost == str(rollup.cost.total.amount)
    assert isinstance(rollup.standby_a.typ, float)
    assert float(cells.standby) == pytest.approx(rollup.standby_a.typ * 1e6, abs=0.05)
    assert cells.channels == f"{sum(own.channels.used for own in rollup.modules.values())}/" + str(
        sum(own.channels.total for own in rollup.modules.values())
    )
    assert [place.address for place in view.modules[len(rollup.modules) :]] == [
        f"network {network_id}" for network_id in rollup.networks
    ]
    for place, module in zip(view.modules, rollup.modules.values(), strict=False):
        assert place.address == module.id
        assert place.cells.parts_cost == str(rollup.cost.modules[module.id].elements["parts"].amount)
        assert place.cells.channels == f"{module.channels.used}/{module.channels.total}"


@pytest.mark.slow
@SAMPLE_VARIANTS
def test_every_figure_of_every_line_can_be_explained(path: Path, variant: str, tmp_path: Path) -> None:
    """The names behind the figures are those that explaining knows, and none of them is left out."""
    view = view_of(path, variant, tmp_path)
    shown = {figure.name for place in all_places(view) for figure in view.details(place.address).figures if figure.name}
    known = set(figure_names(open_proposal(path).snapshot, variant))
    assert shown <= known
    # Lines of the parts list that stand for parts of several places have no line of their own, and without fitment
    # rates the lean and the full vehicle are the average one.
    assert {name.partition(":")[2].partition("@")[0] for name in known - shown} <= {
        "excess_per_year", "excess_life_per_vehicle", "line_price", "unit_price", "cost_lean", "cost_full",
    }  # fmt: skip


@pytest.mark.slow
def test_an_explanation_goes_down_to_the_fields(tmp_path: Path) -> None:
    """The title is the figure with its value, the steps end at the fields of the file."""
    view = view_of(SWEEPER, "zone", tmp_path)
    explained = view.explain("vehicle:standby_a/typ")
    assert explained.title == "vehicle:standby_a/typ = 0.0009637 A"
    assert any("<- parts." in line for line in explained.lines)
    load = view.explain("L24:mean_current_a@WORK_NIGHT/max")
    assert any("<- loads.L24.test_current" in line for line in load.lines)


def test_only_the_first_explanation_computes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Once a variant was computed with its origins, every further figure of it is looked up."""
    view = view_of(SWEEPER, "zone", tmp_path)
    view.explain("vehicle:standby_a/typ")
    monkeypatch.delattr("bomtui.tui.from_services.variant_view.recorded")
    assert view.explain("ZREA:standby_a/max").title.startswith("ZREA:standby_a/max = ")


def test_a_view_is_computed_once(tmp_path: Path) -> None:
    """Going back to a variant shows what was computed before."""
    source = opened(SWEEPER, tmp_path)
    assert source.view("zone") is source.view("zone")


def test_a_junction_beyond_its_maximum_reads_as_the_limit(tmp_path: Path) -> None:
    """The number of the model stands behind the limit, the state says so in words, and the device bears the finding."""
    view = view_of(SWEEPER, "zone", tmp_path)
    junctions = [figure for figure in view.details("ZENG.U1").figures if figure.title.startswith("junction")]
    hot = next(figure for figure in junctions if figure.name.endswith("@WORK_DAY/max"))
    assert hot.text.startswith("over 150 degC (model ")
    assert (hot.mark, hot.word) == ("over", "beyond its maximum")
    place = next(place for place in all_places(view) if place.address == "ZENG.U1")
    assert (place.mark, place.word) == ("over", "1 error")
    assert [found.rule for found in view.details("ZENG.U1").findings or () if found.word == "error"] == [
        "heat.junction"
    ]


@pytest.mark.slow
@SAMPLE_VARIANTS
def test_findings_are_counted_where_they_are(path: Path, variant: str, tmp_path: Path) -> None:
    """The vehicle counts every finding, a line those at it and inside it, and each finding leads to a line."""
    view = view_of(path, variant, tmp_path)
    assert view.vehicle.cells.findings == str(len(view.findings))
    addresses = {place.address for place in all_places(view)}
    assert {finding.target for finding in view.findings} <= addresses
    for finding in view.findings:
        assert finding in (view.details(finding.target).findings or ())
    errors = sum(finding.word == "error" for finding in view.findings)
    assert view.vehicle.word == f"{errors} error{'' if errors == 1 else 's'}"


@pytest.mark.slow
@SAMPLE_VARIANTS
def test_a_line_without_finding_is_never_called_good(path: Path, variant: str, tmp_path: Path) -> None:
    """No line bears the sign of a pass: what was checked stands in the meter, not in a line."""
    view = view_of(path, variant, tmp_path)
    assert "ok" not in {place.mark for place in all_places(view)}
    assert all(place.word for place in all_places(view) if place.mark)


def test_a_sample_says_that_it_is_invented(tmp_path: Path) -> None:
    """Title line and suggested file name carry the notice."""
    view = view_of(SWEEPER, "zone", tmp_path)
    assert view.heading.notice == "invented parts"
    assert view.parts_list_path == "street_sweeper_zone_parts-list_DEMO-DATA.csv"


@pytest.mark.slow
@SAMPLE_VARIANTS
def test_a_subsystem_counts_the_findings_at_what_carries_its_loads(path: Path, variant: str, tmp_path: Path) -> None:
    """What is wrong with a device is wrong for the loads on it, in the tree that does not show the device too."""
    view = view_of(path, variant, tmp_path)
    proposal = open_proposal(path).snapshot.proposal
    at_devices = {finding.place for finding in view.findings if finding.place.count(".") == 1}
    concerned = {
        load_id
        for load_id, placement in proposal.variants[variant].placements.items()
        if any(address.rpartition(".")[0] in at_devices for address in placement.on)
    }
    assert concerned
    subsystems = {place.address: place for place in view.subsystems()}
    for load_id in concerned:
        subsystem = subsystems[proposal.loads[load_id].subsystem]
        assert subsystem.mark
        assert next(load for load in subsystem.children if load.address == load_id).cells.findings
