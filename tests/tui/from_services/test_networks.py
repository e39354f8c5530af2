"""Networks as lines of the sheet with nodes and messages, and their edits by keys."""

from pathlib import Path

import pytest

from bomtui.edit.edits.network import AddNetwork, RemoveNetwork, RenameMessage, RenameNetwork, RenameNode
from bomtui.services.explain import explain, explanation_text
from bomtui.tui.from_services.lines import Line, line_of
from bomtui.tui.from_services.source import SessionSource
from bomtui.tui.view import Figure, Place
from tests.samples.rollups import snapshot
from tests.tui.driving import SMALL, check_seen
from tests.tui.from_services.real import VAN, all_places, opened
from tests.tui.from_services.test_building import app_over, check_drawn, copied, go_to, variant_of

CENTRAL = "central"


def lines(source: SessionSource) -> dict[str, Place]:
    """Every line by its address."""
    return {place.address: place for place in all_places(source.view(CENTRAL))}


def figures(source: SessionSource, address: str) -> dict[str, Figure]:
    """The details of a line by title."""
    return {figure.title: figure for figure in source.view(CENTRAL).details(address).figures}


def test_a_network_has_lines_and_details(tmp_path: Path) -> None:
    """Kind, nodes and load stand on the line, where nodes are and how late messages may be inside; figures explain."""
    source = opened(VAN, tmp_path)
    places = lines(source)
    assert places["network VEH"].title.startswith("VEH vehicle, CAN FD, 3 nodes, busy ")
    assert places["network LIN-BODY.node B11"].title == "node B11 at load B11 battery sensor"
    assert places["network VEH.message MENG-control"].title.startswith("message MENG-control from MENG, after ")
    own = figures(source, "network VEH")
    assert own["load, max"].name == "networks.VEH:load_ratio/max"
    assert own["length"].text == "8 m"
    assert figures(source, "network VEH.message MENG-control")["longest response, max"].text.endswith("us")
    margin = figures(source, "network AIR.node box")["beyond its need, from, hand"]
    assert margin.name == "networks.AIR.nodes.box:margin_db@hand"
    assert figures(source, "MBDY")["network LIN-BODY"].text.startswith("LIN by U")
    assert figures(source, "MBDY")["woken while parked by"].text == "kept alive"
    assert figures(source, "MHMI")["woken while parked by"].text.startswith("MBDY over VEH at U")
    assert figures(source, "B11")["network LIN-BODY"].text == "LIN"
    source.discard()


def test_a_load_is_explained_down_to_its_messages() -> None:
    """The formula, the frame of each message and the fields of the file stand in the explanation."""
    text = explanation_text(explain(snapshot("van"), CENTRAL, "networks.LIN-ENG:load_ratio/max"))
    assert "frame_s / period_s" in text
    assert "1.4 * (34 + 10 * (data_bytes + 1))" in text
    assert "variants.central.networks.LIN-ENG.messages.regulator-set.data_bytes" in text


def test_each_line_is_what_it_shows() -> None:
    """Networks, nodes and messages are told apart, and what is gone is the network around it."""
    van = snapshot("van")
    assert line_of(van, CENTRAL, "network VEH") == Line("network", CENTRAL, network="VEH")
    assert line_of(van, CENTRAL, "network VEH.node MENG") == Line("node", CENTRAL, network="VEH", node="MENG")
    assert line_of(van, CENTRAL, "network VEH.node GONE") == Line("network", CENTRAL, network="VEH")
    assert line_of(van, CENTRAL, "network VEH.message MENG-state").message == "MENG-state"
    assert line_of(van, CENTRAL, "network GONE") == Line("vehicle", CENTRAL)


def test_the_cursor_follows_every_step(tmp_path: Path) -> None:
    """The step tells the line of the new name; undone, that of the old one; and the record behind it."""
    source = opened(VAN, tmp_path)
    done = source.do(RenameNetwork(variant=CENTRAL, network_id="VEH", new_id="BUS"))
    assert (done.state, done.address) == ("done", "network BUS")
    assert done.place == "variants.central.networks.BUS"
    assert source.undo().address == "network VEH"
    node = source.do(RenameNode(variant=CENTRAL, network_id="VEH", node_id="MENG", new_id="engine"))
    assert node.address == "network VEH.node engine"
    message = source.do(RenameMessage(variant=CENTRAL, network_id="VEH", message_id="MENG-state", new_id="speed"))
    assert message.address == "network VEH.message speed"
    set_text = source.set_text("variants.central.networks.VEH.nodes.engine.stub", "0.5 m")
    assert set_text.address == "network VEH.node engine"
    assert source.record_at(CENTRAL, "network VEH") == "variants.central.networks.VEH"
    assert source.record_at(CENTRAL, "network VEH.node engine") == "variants.central.networks.VEH.nodes.engine"
    assert source.record_at(CENTRAL, "network VEH.message speed") == "variants.central.networks.VEH.messages.speed"
    choices = source.field_choices("variants.central.networks.VEH.messages.speed.sender")
    assert [own.id for own in choices] == ["engine", "MBDY", "MHMI"]
    source.discard()


def test_a_finding_stands_at_the_line_that_it_is_about(tmp_path: Path) -> None:
    """A branch that is too long marks its node, and its network with it; an empty network has none of its figures."""
    source = opened(VAN, tmp_path)
    source.set_text("variants.central.networks.VEH.nodes.MBDY.stub", "3 m")
    places = lines(source)
    assert places["network VEH.node MBDY"].mark == "check"
    assert places["network VEH"].cells.findings == "1"
    (found,) = [own for own in source.view(CENTRAL).findings if own.rule == "line.stub"]
    assert found.address == "network VEH.node MBDY"
    source.do(AddNetwork(variant=CENTRAL, network_id="NEW", kind="CAN"))
    assert lines(source)["network NEW"].title == "NEW, CAN, 0 nodes"
    assert source.do(RemoveNetwork(variant=CENTRAL, network_id="NEW")).state == "done"
    source.discard()


@pytest.mark.slow
async def test_a_network_is_built_by_keys(tmp_path: Path) -> None:
    """On the line of a network a adds nodes and messages, r renames, delete removes, e opens its fields."""
    app = app_over(copied(VAN, tmp_path), tmp_path)
    async with app.run_test(size=SMALL) as pilot:
        await go_to(pilot, "network VEH")
        await pilot.press("e")
        await check_seen(pilot, "Network VEH vehicle")
        await pilot.press("escape", "a", "end", "enter", *"SUB", "enter", "down", "enter")
        await check_drawn(pilot)
        assert variant_of(app).networks["SUB"].kind == "CAN"
        await go_to(pilot, "network SUB")
        await pilot.press("a", "enter", *"x", "enter", "enter")
        await check_drawn(pilot)
        assert set(variant_of(app).networks["SUB"].nodes) == {"x"}
        await go_to(pilot, "network SUB")
        await pilot.press("a", "down", "enter", *"m1", "enter", "enter")
        await check_drawn(pilot)
        assert variant_of(app).networks["SUB"].messages["m1"].sender == "x"
        await pilot.press("r", "ctrl+u", *"m2", "enter")
        await check_drawn(pilot)
        assert set(variant_of(app).networks["SUB"].messages) == {"m2"}
        await pilot.press("delete")
        await check_drawn(pilot)
        assert variant_of(app).networks["SUB"].messages == {}
