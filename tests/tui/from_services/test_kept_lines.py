"""Lines of the sheet that are kept from step to step are those that would be built anew."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomtui.edit.edit import Edit, apply
from bomtui.edit.edits.device import RenameDevice, SwapDevice
from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.load import RenameLoad
from bomtui.edit.edits.module import RenameModule
from bomtui.edit.edits.placement import Join, Pin, TakeOff
from bomtui.edit.edits.vehicle import RenameSubsystem
from bomtui.edit.history import History
from bomtui.model.proposal import Snapshot
from bomtui.services.open import Opened
from bomtui.services.rollup import Computed, compute
from bomtui.tui.from_services.kept_lines import Kept
from bomtui.tui.from_services.variant_view import VariantView
from bomtui.tui.screens.rollup.rows import Tree, TreeKind, build_tree
from bomtui.tui.view import CHECKING, Heading, Place, RollupView
from bomtui.tui.widgets.rows import Outline
from tests.edit.random_edits import random_history
from tests.generated import generated_snapshot
from tests.samples.rollups import snapshot as sample
from tests.strategies import snapshots
from tests.tui.from_services.real import SWEEPER, opened

KINDS: tuple[TreeKind, ...] = ("modules", "subsystems")
STEPS = 8


def line_of(history: History) -> list[Snapshot]:
    """The snapshots of a history, and some of them backwards, as undoing gives them."""
    line = [*[step.before for step in history.done], history.current]
    return [*line, *reversed(line[::3])]


def outermost(view: RollupView) -> list[Place]:
    """The lines of both trees."""
    return [view.vehicle, *view.modules, *view.subsystems()]


def figures_of(place: Place) -> tuple[object, ...]:
    """What a line says apart from its state, and what is inside it."""
    cells = place.cells
    shown = (cells.channels, cells.pins, cells.load_current, cells.standby, cells.parts_cost, cells.cost)
    return (place.address, place.title, *shown, *map(figures_of, place.children))


def check_as_built_anew(line: list[Snapshot], variant: str) -> None:
    """Views that keep lines of the ones before say what views without any memory say, and so do their rows."""
    kept, trees = Kept(), {kind: Tree(kind) for kind in KINDS}
    outlines = {kind: Outline() for kind in KINDS}
    computed: Computed | None = None
    for snapshot in line:
        if variant not in snapshot.proposal.variants:
            break
        opened_now = Opened(Path("p.toml"), snapshot, (), "")
        heading = Heading("p", variant, "", "", "saved")
        computed = compute(opened_now, variant, computed)
        view, fresh = VariantView(opened_now, heading, computed, kept), VariantView(opened_now, heading, computed)
        pairs = zip(outermost(view.figures()), outermost(fresh.figures()), strict=True)
        assert [own.address for own, new in pairs if figures_of(own) != figures_of(new)] == []
        pairs = zip(outermost(view.view()), outermost(fresh.view()), strict=True)
        assert [own.address for own, new in pairs if own != new] == []
        for kind in KINDS:
            trees[kind] = build_tree(view.view(), kind, trees[kind])
            anew, outline = build_tree(fresh.view(), kind), Outline()
            assert trees[kind].rows == anew.rows
            assert trees[kind].places == anew.places
            assert trees[kind].first_keys == anew.first_keys
            outlines[kind].set_rows(trees[kind].rows)
            outline.set_rows(anew.rows)
            outline.set_all_open(is_open=True)
            outlines[kind].set_all_open(is_open=True)
            assert outlines[kind].visible == outline.visible


@pytest.mark.slow
@given(snapshots(), st.integers(0, 2**32))
@settings(max_examples=5)
def test_after_any_edit_every_line_is_as_if_built_anew(start: Snapshot, seed: int) -> None:
    """After edits of every kind and back again, lines, rows and their order are those of a view without memory."""
    history, _ = random_history(seed, start, STEPS)
    for variant in start.proposal.variants:
        check_as_built_anew(line_of(history), variant)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.slow
def test_after_edits_of_a_sample_every_line_is_as_if_built_anew(seed: int) -> None:
    """The same over a whole vehicle with findings."""
    history, _ = random_history(seed, sample("sweeper"), STEPS)
    check_as_built_anew(line_of(history)[: STEPS + 2], "zone")


EDITS = (
    Pin(variant="zone", loads=("L24",)),
    Join(variant="zone", loads=("L24", "L11"), joined="shared"),
    TakeOff(variant="zone", loads=("L24",)),
    SwapDevice(variant="zone", module_id="ZCEN", ref="U1", part="hs24-4x22"),
    RenameDevice(variant="zone", module_id="ZCEN", ref="U1", new_ref="U71"),
    RenameModule(variant="zone", module_id="ZREA", new_id="A01"),
    RenameLoad(load_id="L24", new_id="L24a"),
    RenameLoad(load_id="L24", new_id="ZCEN"),
    RenameSubsystem(subsystem_id="COO", new_id="L11"),
    SetField(place="loads.L24.name", value="lamp"),
    SetField(place="loads.L24.subsystem", value="CAB"),
    SetField(place="loads.L24.fitment", value=0.5),
    SetField(place="subsystems.COO.name", value="light"),
    SetField(place="vehicle.volume_per_year", value=12),
    SetField(place="vehicle.test_voltage", value=27.0),
    SetField(place="variants.zone.modules.ZREA.fitment", value=0.5),
    SetField(place="settings.rates.test_per_module", value=None),
)


@pytest.mark.slow
@pytest.mark.parametrize("edit", EDITS, ids=lambda edit: edit.label)
def test_after_an_edit_of_a_sample_every_line_is_as_if_built_anew(edit: Edit) -> None:
    """The same for what changes a line without changing the record that it stands for."""
    start = sample("sweeper")
    after = apply(edit, start)
    assert isinstance(after, Snapshot), after
    check_as_built_anew([start, after, start], "zone")


def test_a_step_builds_the_lines_that_it_changes_and_no_others(tmp_path: Path) -> None:
    """A load's power makes its line, its device and its module new; findings that stay make nothing new."""
    source = opened(SWEEPER, tmp_path)
    first = source.view("zone")
    assert source.set_text("loads.L24.rated_power", "56 W").state == "done"
    figures = source.figures("zone")
    new = {place.address for place, old in zip(figures.modules, first.modules, strict=True) if place is not old}
    module = next(place for place in figures.modules if place.address in new)
    assert len(new) == 1
    former = {place.address: place for place in next(own for own in first.modules if own.address in new).children}
    changed = [place for place in module.children if former[place.address] is not place]
    devices = [place for place in changed if place.children]
    assert len(devices) == 1
    assert (module.cells.findings, devices[0].word) == ("?", CHECKING)
    loads = [load.address for load in devices[0].children if load.word == CHECKING]
    assert loads == ["L24"]
    checked = source.view("zone")
    assert [place is old for place, old in zip(checked.modules, first.modules, strict=True)].count(False) <= 1
    assert source.figures("zone") is checked


def test_a_step_in_a_large_vehicle_leaves_all_other_modules_alone() -> None:
    """What a step costs on the screen is what it changes, however large the vehicle is."""
    kept = Kept()

    def view_of(snapshot: Snapshot, before: Computed | None) -> tuple[VariantView, Computed]:
        now = Opened(Path("p.toml"), snapshot, (), "")
        computed = compute(now, "only", before)
        return VariantView(now, Heading("p", "only", "", "", "saved"), computed, kept), computed

    start = generated_snapshot(130, 13)
    first, computed = view_of(start, None)
    before = first.view().modules
    changed = apply(SetField(place="loads.L20.test_current", value=1.25), start)
    assert isinstance(changed, Snapshot)
    second, _ = view_of(changed, computed)
    after = second.figures().modules
    assert [place.address for place, old in zip(after, before, strict=True) if place is not old] == ["M1"]
