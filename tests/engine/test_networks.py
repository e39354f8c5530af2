"""What is computed of networks beyond published values: unknowns, priorities, who reaches whom, what is kept."""

from bomtui.edit.edits.field import SetField
from bomtui.engine.calc import PLAIN
from bomtui.engine.networks.reach import modules_on, networks_of, reached
from bomtui.engine.networks.result import network_result, priority_of
from bomtui.engine.networks.sites import sites_of
from bomtui.engine.networks.wake import wakers
from bomtui.engine.rollup import rollup
from bomtui.model.bound import Range
from bomtui.model.limits import Limits
from bomtui.model.network import Message, Network, Node
from bomtui.model.part import Part
from bomtui.model.rollup import NetworkResult
from bomtui.model.variant import Device, Module, Variant
from tests.edit.small import PARTS, done, small


def computed(network: Network) -> NetworkResult:
    """The result of a network whose nodes are at nothing known."""
    return network_result(PLAIN, "N", network, sites_of(network, Variant(), {}, PARTS), Limits())


def test_nothing_given_is_nothing_known() -> None:
    """A network of which only the kind is given has no figure but its count of nodes, and none of them is zero."""
    for kind in ("LIN", "CAN", "CAN FD", "10BASE-T1S", "100BASE-T1", "optical ring", "radio"):
        found = computed(Network(kind=kind))
        assert (found.nodes, found.length_m, found.load_ratio.typ, found.load_ratio.max) == (0, None, None, None)
        assert (found.cycle_s, found.messages, found.links) == (None, (), ())
        assert (found.slowest, found.weakest) == (None, None)


def test_a_message_that_no_frame_carries_has_no_time() -> None:
    """Twelve bytes on classical CAN, none on LIN and 65 on CAN FD are no frames: unknown, not something near."""
    for kind, size in (("CAN", 12), ("LIN", 0), ("LIN", 9), ("CAN FD", 65), ("CAN", -1)):
        network = Network(
            kind=kind,
            rate_bit_per_s=500e3,
            data_rate_bit_per_s=2e6,
            messages={"m": Message(sender="a", data_bytes=size, identifier=1, period_s=0.01, jitter_s=0.0)},
        )
        (message,) = computed(network).messages
        assert (message.frame_s.typ, message.frame_s.max, message.response_s) == (None, None, None)


def test_what_cannot_be_is_unknown() -> None:
    """A rate, period, distance or frequency of zero or less gives no figure, whatever the formula would do with it."""
    for value in (0.0, -5.0):
        air = Network(
            kind="radio",
            rate_bit_per_s=value,
            distance_m=value,
            frequency_hz=868e6,
            fade_db=0.0,
            metal_loss_db=0.0,
            nodes={
                key: Node(at="L1", transmit_power_dbm=0.0, sensitivity_dbm=-90.0, antenna_gain_db=0.0) for key in "ab"
            },
            messages={"m": Message(sender="a", data_bytes=8, period_s=1.0)},
        )
        found = computed(air)
        assert [own.margin_db for own in found.links] == [None, None]
        assert found.messages[0].frame_s.max is None
        bus = Network(
            kind="CAN",
            rate_bit_per_s=500e3,
            messages={"m": Message(sender="a", data_bytes=8, identifier=1, period_s=value, jitter_s=0.0)},
        )
        (message,) = computed(bus).messages
        assert message.load_ratio.max is None
        assert isinstance(message.response_s, Range)


def test_one_unknown_message_leaves_the_load_a_lower_bound() -> None:
    """A message without a period counts as at least nothing, and is named."""
    messages = {
        "m": Message(sender="a", data_bytes=8, period_s=0.01),
        "n": Message(sender="a", data_bytes=8),
    }
    load = computed(Network(kind="CAN", rate_bit_per_s=500e3, messages=messages)).load_ratio.max
    assert isinstance(load, Range)
    assert (load.low, load.unknown) == (270e-6 / 0.01, frozenset({"n"}))


def test_the_lower_identifier_wins() -> None:
    """Identifiers are compared from their first bit on; a short one wins against a long one that begins like it."""
    short = priority_of(Message(sender="a", identifier=0x100))
    same = priority_of(Message(sender="a", identifier=0x100 << 18, extended=True))
    longer = priority_of(Message(sender="a", identifier=0x0FF << 18, extended=True))
    assert short is not None
    assert same is not None
    assert longer is not None
    assert longer < short < same
    assert priority_of(Message(sender="a")) is None


def test_a_jitter_delays_its_own_message_and_those_behind() -> None:
    """By hand, 270 us a frame: a waits for b and itself; b waits for two of a where a may come late by its period."""
    messages = {
        "a": Message(sender="n", identifier=1, data_bytes=8, period_s=0.001, jitter_s=0.001),
        "b": Message(sender="n", identifier=2, data_bytes=8, period_s=0.010, jitter_s=0.0),
    }
    found = computed(Network(kind="CAN", rate_bit_per_s=500e3, messages=messages))
    responses = {own.id: own.response_s for own in found.messages}
    # a: 1 ms late, 270 us of b, then two of a are due at once: the first after 1.54 ms, the second a period earlier.
    first, second = 1e-3 + 270e-6 + 270e-6, 1e-3 + 2 * 270e-6 + 270e-6 - 1e-3
    assert isinstance(responses["a"], float)
    assert isinstance(responses["b"], float)
    assert abs(responses["a"] - max(first, second)) < 1e-12
    # b: two frames of a, then its own, all within the first period.
    assert abs(responses["b"] - 3 * 270e-6) < 1e-12


def test_a_bus_that_is_never_free_is_followed_only_for_a_while() -> None:
    """A load above all that there is gives lower bounds at once, however long the deadlines are."""
    messages = {
        f"m{row}": Message(sender="n", identifier=row, data_bytes=8, period_s=0.0005, jitter_s=0.0) for row in range(9)
    }
    found = computed(Network(kind="CAN", rate_bit_per_s=500e3, messages=messages))
    for own in found.messages[1:]:
        assert isinstance(own.response_s, Range)
        assert own.response_s.low > 0


def variant(**networks: tuple[str, ...]) -> Variant:
    """Modules A to D, and networks with nodes at some of them."""
    return Variant(
        modules={key: Module() for key in "ABCD"},
        networks={
            key: Network(kind="CAN", nodes={str(row): Node(at=at) for row, at in enumerate(places)})
            for key, places in networks.items()
        },
    )


def test_a_module_on_two_networks_passes_on() -> None:
    """Modules reach each other over networks and modules between; loads pass nothing on."""
    one = variant(N1=("A.U1", "B.U1"), N2=("B.U2", "C.U1", "L1"), N3=("D.U1", "L1"))
    assert dict(reached(one)) == {"A": "A", "B": "A", "C": "A", "D": "D"}
    assert modules_on(one.networks["N2"]) == ("B", "C")
    assert networks_of(one, "L1") == ("N2", "N3")
    assert networks_of(one, "B.U1") == ("N1",)
    assert dict(reached(variant())) == {key: key for key in "ABCD"}


def test_a_network_keeps_its_result_as_long_as_nothing_in_it_changes() -> None:
    """After an edit elsewhere the result is the very same object; after one of its own it is computed anew."""
    network = Network(kind="LIN", rate_bit_per_s=20e3, nodes={"a": Node(at="REAR.U1")}, length_m=3.0)
    start = small(networks={"BUS": network})
    first = rollup(start, "one")
    elsewhere = done(SetField(place="loads.L1.rated_power", value=5.0), start)
    second = rollup(elsewhere, "one", first)
    assert second.result.networks["BUS"] is first.result.networks["BUS"]
    own = done(SetField(place="variants.one.networks.BUS.length", value=5.0), elsewhere)
    third = rollup(own, "one", second)
    assert third.result.networks["BUS"].length_m == 5.0
    limits = done(SetField(place="settings.limits.lin_node", value=1e-9), own)
    assert rollup(limits, "one", third).result.networks == rollup(limits, "one").result.networks


def test_what_wakes_a_module() -> None:
    """A pin or timer of its own, or a module that is kept alive on its network; nothing on terminal 15."""
    parts = {
        "remote": Part(kind="transceiver_can", wake="remote"),
        "pin": Part(kind="transceiver_lin", wake="remote+local"),
        "clock": Part(kind="transceiver_rf", wake="timer"),
        "deaf": Part(kind="transceiver_rf", wake="none"),
        "silent": Part(kind="transceiver_can"),
    }
    devices = {
        "U1": Device(part="remote"),
        "U2": Device(part="pin"),
        "U3": Device(part="clock"),
        "U4": Device(part="deaf"),
        "U5": Device(part="remote", terminal="15"),
        "U6": Device(part="silent"),
    }
    bus = Network(kind="CAN", nodes={"a": Node(at="A.U1"), "b": Node(at="B.U1"), "c": Node(at="A.U6")})
    modules = {"A": Module(devices=devices), "B": Module(devices={"U1": Device(part="remote")}, keep_alive=True)}
    one = Variant(modules=modules, networks={"BUS": bus})
    assert [own.words for own in wakers(one, parts, "A") if own.is_known] == [
        "B over BUS at U1",
        "U2 (local)",
        "U3 (timer)",
    ]
    assert [own.ref for own in wakers(one, parts, "A") if not own.is_known] == ["U6"]
    unnamed = Variant(modules=modules)
    assert [own.ref for own in wakers(unnamed, parts, "A") if not own.is_known] == ["U1", "U6"]
