"""Where a node of a network can be: devices with a port left, and loads that answer over it."""

from bomtui.edit.edits.network import AddNode
from bomtui.services.network_sites import free_sites
from tests.edit.small import done
from tests.samples.rollups import snapshot


def test_ports_that_are_left_and_loads_that_are_on_no_network() -> None:
    """In the van LIN has one port of the body chip left, and one transceiver of two CAN ports has one left."""
    van = snapshot("van")
    sites = {own.at: own for own in free_sites(van, "central", "LIN-BODY")}
    devices = van.proposal.variants["central"].modules["MBDY"].devices
    body = next(ref for ref, device in devices.items() if device.part == "sbc-body")
    assert sites[f"MBDY.{body}"].remark == "1 of 2 ports used"
    assert all(van.proposal.loads[at].drive == "LIN" for at in sites if "." not in at)
    taken = done(AddNode(variant="central", network_id="LIN-BODY", node_id="x", at=f"MBDY.{body}"), van)
    assert f"MBDY.{body}" not in {own.at for own in free_sites(taken, "central", "LIN-BODY")}
    on_can = {own.name for own in free_sites(van, "central", "VEH")}
    assert "can-2" in on_can
    assert not on_can & {"lin-1", "radio-24"}
