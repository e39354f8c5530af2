"""The block diagram: what is drawn from the proposal, with the rollup's own currents, within its width."""

from typing import get_args

import msgspec
import pytest

from bomtui.model.diagram import BlockKind, Diagram, block_id
from bomtui.model.feed import Feed
from bomtui.model.ids import parse_address
from bomtui.model.network import Network, Node
from bomtui.model.proposal import Snapshot
from bomtui.services.diagram import diagram
from bomtui.services.diagram_text import ASCII_STROKES, FULL_STROKES, currents_text, diagram_lines
from bomtui.services.errors import UnknownNameError
from tests.samples.rollups import VARIANTS, result, snapshot

DIAGRAMS = [
    (vehicle, variant, module) for vehicle, variant in VARIANTS for module in ("", *result(vehicle, variant).modules)
]


def drawn(vehicle: str, variant: str, module: str = "") -> Diagram:
    """A diagram of a sample."""
    return diagram(snapshot(vehicle), result(vehicle, variant), module)


def text_of(own: Diagram, width: int = 80) -> str:
    """A diagram as text."""
    return "\n".join(line.text for line in diagram_lines(own, width))


def connected() -> Snapshot:
    """The sweeper with a feed for its rear module only, and a bus between two of them."""
    sweeper = snapshot("sweeper")
    variant = sweeper.proposal.variants["zone"]
    modules = {key: msgspec.structs.replace(module, feeds=()) for key, module in variant.modules.items()}
    rear = msgspec.structs.replace(variant.modules["ZREA"], feeds=("F1",))
    own = msgspec.structs.replace(
        variant,
        modules={**modules, "ZREA": rear},
        feeds={"F1": Feed(ground="G4")},
        networks={"CAN1": Network(kind="CAN FD", nodes={"a": Node(at="ZREA.U9"), "b": Node(at="ZCEN.U12")})},
    )
    proposal = msgspec.structs.replace(sweeper.proposal, variants={**sweeper.proposal.variants, "zone": own})
    return msgspec.structs.replace(sweeper, proposal=proposal)


@pytest.mark.parametrize(("vehicle", "variant"), VARIANTS)
def test_every_chip_and_load_of_a_module_is_a_block(vehicle: str, variant: str) -> None:
    """Devices, rails and served loads stand in the diagram of their module, and every link joins blocks."""
    networks = snapshot(vehicle).proposal.variants[variant].networks
    for module_id, module in snapshot(vehicle).proposal.variants[variant].modules.items():
        own = drawn(vehicle, variant, module_id)
        names = {
            kind: [block.name for block in own.blocks.values() if block.kind == kind] for kind in get_args(BlockKind)
        }
        assert sorted(names["chip"]) == sorted(f"{module_id}.{ref}" for ref in module.devices)
        assert sorted(names["rail"]) == sorted(f"{module_id}.{rail}" for rail in module.rails)
        elsewhere = {node.at for network in networks.values() for node in network.nodes.values()}
        served = set(result(vehicle, variant).modules[module_id].loads)
        assert served <= set(names["load"]) <= served | elsewhere
        assert {end for link in own.links for end in (link.source, link.target)} <= own.blocks.keys()


@pytest.mark.parametrize(("vehicle", "variant"), VARIANTS)
def test_a_placed_load_hangs_on_the_chips_of_its_channels(vehicle: str, variant: str) -> None:
    """Links to a load come from exactly the devices that its placement names, and its power stage."""
    placements = snapshot(vehicle).proposal.variants[variant].placements
    for module_id, module in result(vehicle, variant).modules.items():
        own = drawn(vehicle, variant, module_id)
        for load_id in module.loads:
            addresses = map(parse_address, (*placements[load_id].on, *placements[load_id].stage))
            wanted = {f"{address.module}.{address.device}" for address in addresses if address.device}
            found = {block.name for block in own.sources(block_id("load", load_id), "drive")}
            assert wanted <= found


def test_currents_are_those_of_the_rollup() -> None:
    """Battery and modules carry the rollup's own figures of the mode."""
    own, figures = drawn("sweeper", "zone"), result("sweeper", "zone")
    (vehicle,) = (mode for mode in figures.modes if mode.mode == own.mode)
    assert own.blocks["battery"].current_a == vehicle.supply_current_a
    for module_id, module in figures.modules.items():
        (mode,) = (mode for mode in module.modes if mode.mode == own.mode)
        assert own.blocks[block_id("module", module_id)].current_a == mode.supply_current_a


def test_a_feed_carries_what_the_rollup_says_of_it() -> None:
    """The rear module draws 9.706 A, of which the 1.003 A of the fan valve, switched to ground, pass no feed of it."""
    own, figures = drawn("sweeper", "zone"), result("sweeper", "zone")
    for feed_id, feed in figures.feeds.items():
        (mode,) = (mode for mode in feed.modes if mode.mode == own.mode)
        assert own.blocks[block_id("feed", feed_id)].current_a == mode.current_a
    lines = text_of(own).splitlines()
    rear = next(number for number, line in enumerate(lines) if "feed F-ZREA" in line)
    assert lines[rear].endswith("  8.703 A")
    assert lines[rear + 1].endswith("  9.706 A")
    assert "feed F-ZREA  terminal 30  ground G4" in text_of(drawn("sweeper", "zone", "ZREA"))
    assert "is in the current of no feed" in currents_text(own)


def test_a_feed_names_the_channel_that_switches_it() -> None:
    """A feed behind a channel of another module says which, as its current is in that of the feed before it."""
    assert "feed F-BSEN  terminal 15  switched by BLMP.U3.2  ground G1" in text_of(drawn("bench", "bench"))


@pytest.mark.parametrize(("vehicle", "variant", "module"), DIAGRAMS)
def test_lines_keep_their_width(vehicle: str, variant: str, module: str) -> None:
    """No line is wider than it may be, at any width, and the plain set of signs draws the same lines."""
    own = drawn(vehicle, variant, module)
    for width in (60, 80, 120):
        lines = diagram_lines(own, width)
        assert max(len(line.text) for line in lines) <= width
        plain = diagram_lines(own, width, ASCII_STROKES)
        assert [len(line.text) for line in plain] == [len(line.text) for line in lines]
        assert all(line.text.isascii() for line in plain)


def test_the_rear_module_by_hand() -> None:
    """Chips, branches, currents and what commands and reads stand where they belong."""
    text = text_of(drawn("sweeper", "zone", "ZREA"))
    assert " ├─[U2 hs24-2x10]──────┬─ C03 hydraulic oil cooler fan (120 W)           0.952 A" in text
    assert " │                     └─ 1 channel free" in text
    assert " ├─[U9 sbc-can]────────── V5 5 V" in text
    assert "V5 5 V ─ from U9; chips draw                             87 mA typ, 114.7 mA max" in text
    assert " ├─[U8 mcu-144]────────┬─ commands U1 U2 U3 U4 U5 U6 U7 U9 U11" in text
    assert " │                     └─ reads C04 T06 T07 W12 W13 W15" in text


def test_a_current_stands_once_and_a_power_stage_beside_its_load() -> None:
    """A fan names its FETs in the line of its pre-driver; a display on two chips tells its current once."""
    text = text_of(drawn("van", "central", "MENG"), 100)
    assert "[U1 gate-2]─────────── C01 radiator fan (600 W) over Q2 Q3 Q4" in text
    assert "[Q2 fet40-1]" not in text
    shown = [line for line in text_of(drawn("sweeper", "zone", "ZHMI")).splitlines() if "K01 instrument panel" in line]
    assert [line.endswith(" A") for line in shown] == [True, False]


def test_feeds_ground_points_and_networks_are_drawn() -> None:
    """A feed stands with its terminal and ground point, a network with its nodes; the rest is said to be open."""
    figures = result("sweeper", "zone")
    vehicle = text_of(diagram(connected(), figures))
    assert " ├─ feed F1  terminal 30  ground G4\n │  └─[ZREA] rear zone module" in vehicle
    assert "CAN1 CAN FD: ZREA ZCEN" in vehicle
    assert "no feed is named of ZCEN" in vehicle
    assert "no feed is named of ZREA" not in vehicle
    module = text_of(diagram(connected(), figures, "ZREA"))
    assert "battery 24 V ─ feed F1  terminal 30  ground G4" in module
    assert "CAN1 CAN FD: U9 ZCEN" in module


def test_names_that_are_not_there_are_refused() -> None:
    """A module or mode that does not exist is named with those that do."""
    for module, mode, word in (("ZZZ", None, "modules are ZCEN"), ("", "ZZZ", "modes are ACC")):
        with pytest.raises(UnknownNameError, match=word):
            diagram(snapshot("sweeper"), result("sweeper", "zone"), module, mode)


def test_strokes_are_one_column_each() -> None:
    """Signs that stand for each other are equally wide, so that both sets draw one layout."""
    signs = [getattr(strokes, name) for strokes in (FULL_STROKES, ASCII_STROKES) for name in FULL_STROKES.__slots__]
    assert [len(sign) for sign in signs] == [1] * 12
