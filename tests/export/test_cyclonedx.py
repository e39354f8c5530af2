"""The hardware bill of materials is valid CycloneDX, holds every part in its quantity, and is the same again.

Source of the schema: CycloneDX 1.6, which ECMA-424 (1st edition) standardises, as its own library brings it along.
"""

import json
from decimal import Decimal
from typing import Any

import pytest
from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator

from bomtui.export.package.cyclonedx import hardware_bom
from tests.services.package.sample import subject

SAMPLES = [("sweeper", "zone"), ("van", "central"), ("bench", "bench")]


def _property(component: dict[str, Any], name: str) -> str:
    found = [own["value"] for own in component["properties"] if own["name"] == f"bomtui:{name}"]
    assert len(found) == 1
    return str(found[0])


@pytest.mark.parametrize("sample", SAMPLES)
def test_it_is_valid_and_complete(sample: tuple[str, str]) -> None:
    """The library's strict validator has nothing to say, and all quantities are those of the rollup."""
    own = subject(*sample)
    data = hardware_bom(own.basis)
    assert JsonStrictValidator(SchemaVersion.V1_6).validate_str(data.decode()) is None
    bom = json.loads(data)
    assert (bom["bomFormat"], bom["specVersion"]) == ("CycloneDX", "1.6")
    found: dict[tuple[str, str], Decimal] = {}
    for module in bom["components"]:
        for part in module["components"]:
            found[module["name"], _property(part, "part")] = Decimal(_property(part, "quantity"))
            assert part["name"] == own.parts[_property(part, "part")].mpn
    wanted = {
        (module, line.part): quantity for line in own.rollup.cost.lines for module, quantity in line.quantities.items()
    }
    assert found == wanted


def test_invented_parts_and_errors_are_said() -> None:
    """Title, notice, standing and every part of a sample say what they are."""
    bom = json.loads(hardware_bom(subject().basis))
    assert "DEMO DATA" in bom["metadata"]["component"]["name"]
    facts = {own["name"]: own["value"] for own in bom["metadata"]["properties"]}
    assert facts["bomtui:standing"] == "NOT SENDABLE: 96 open errors"
    assert {_property(part, "demo") for module in bom["components"] for part in module["components"]} == {
        "invented part"
    }


def test_references_are_those_of_the_devices() -> None:
    """A placed part names its references, an item without one has none."""
    bom = json.loads(hardware_bom(subject().basis))
    (module,) = [own for own in bom["components"] if own["name"] == "ZREA"]
    devices = subject().variant.modules["ZREA"].devices
    named = [
        ref
        for part in module["components"]
        for own in part["properties"]
        if own["name"] == "bomtui:references"
        for ref in own["value"].split()
    ]
    assert sorted(named) == sorted(devices)


def test_repeats_are_byte_equal() -> None:
    """The same content gives the same bytes, serial number and time included."""
    assert hardware_bom(subject().basis) == hardware_bom(subject().basis)
