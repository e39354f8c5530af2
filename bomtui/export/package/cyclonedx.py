"""The parts of a variant as a hardware bill of materials in CycloneDX JSON 1.6 (ECMA-424).

The vehicle's electronics are the subject; every module is a component, and every part of it one inside, with the part
number as its name. CycloneDX knows no quantity, so it stands in a property, like all else that only we know.
"""

import datetime
import uuid
from collections.abc import Iterable, Iterator
from decimal import Decimal

from cyclonedx.model import Property
from cyclonedx.model.bom import Bom
from cyclonedx.model.component import Component, ComponentType
from cyclonedx.model.contact import OrganizationalEntity
from cyclonedx.output.json import JsonV1Dot6

from bomtui.export.cautions import INVENTED
from bomtui.export.facts import standing_text
from bomtui.export.records import PROGRAM, Basis, Heading, exact_text, heading
from bomtui.model.ids import natural_key
from bomtui.model.part import Part
from bomtui.model.plain_text import clean

NAME, TITLE = "hardware-bom", "Hardware bill of materials"
NAMESPACE = "bomtui"
"""Before the names of our properties."""
NO_DATE = datetime.date(1980, 1, 1)
"""Day of a bill of which neither proposal nor prices name one."""


def hardware_bom(basis: Basis) -> bytes:
    """Write the bill of materials of a variant.

    Its time is the day for which the proposal is judged, or that of its newest price, at midnight UTC; its serial
    number follows from the content, so that the same content gives the same bytes.
    """
    head = Heading(**heading(basis, TITLE))  # type: ignore[arg-type]
    bom = Bom(serial_number=uuid.uuid5(uuid.NAMESPACE_OID, f"{head.content_hash} {head.variant}"), version=1)
    day = basis.proposal.proposal.as_of or head.price_date.newest or NO_DATE
    bom.metadata.timestamp = datetime.datetime.combine(day, datetime.time(), datetime.UTC)
    bom.metadata.tools.components.add(
        Component(type=ComponentType.APPLICATION, name=PROGRAM, version=clean(head.program_version), bom_ref="program")
    )
    subject = Component(
        type=ComponentType.DEVICE,
        name=clean(head.title),
        version=clean(head.revision) or None,
        description=clean(head.notice) or None,
        bom_ref="proposal",
    )
    bom.metadata.component = subject
    for prop in _properties(_facts(head)):
        bom.metadata.properties.add(prop)
    modules = [_module(basis, module) for module in sorted(basis.rollup.modules, key=natural_key)]
    for module in modules:
        bom.components.add(module)
    bom.register_dependency(subject, modules)
    return (JsonV1Dot6(bom).output_as_string(indent=2) + "\n").encode()


def _facts(head: Heading) -> Iterator[tuple[str, str]]:
    yield "content_hash", head.content_hash
    yield "variant", head.variant
    yield "standing", standing_text(head)
    yield "notice", head.notice
    for number, caution in enumerate(head.cautions, start=1):
        yield f"caution:{number}", caution


def _module(basis: Basis, module_id: str) -> Component:
    module = basis.proposal.variants[basis.rollup.variant].modules[module_id]
    component = Component(
        type=ComponentType.DEVICE,
        name=module_id,
        description=clean(module.name) or None,
        bom_ref=f"module {module_id}",
        properties=_properties((("zone", module.zone),)),
    )
    for line in basis.rollup.cost.lines:
        if module_id in line.quantities:
            refs = [ref for ref, device in module.devices.items() if device.part == line.part]
            component.components.add(_part(basis, module_id, line.part, line.quantities[module_id], refs))
    return component


def _part(basis: Basis, module_id: str, key: str, quantity: Decimal, refs: Iterable[str]) -> Component:
    part = basis.parts.get(key)
    known = Part(kind="passive") if part is None else part
    facts = [
        ("part", key),
        ("quantity", exact_text(quantity)),
        ("sale_unit", known.sale_unit),
        ("references", " ".join(sorted(refs, key=natural_key))),
        ("kind", "" if part is None else part.kind),
        ("package", known.package),
        ("life_cycle", known.life_cycle or ""),
        ("alternates", " ".join(known.alternates)),
        ("data", "no frozen data of this part" if part is None else ""),
        ("demo", INVENTED if basis.proposal.proposal.demo else ""),
    ]
    maker = clean(known.maker)
    return Component(
        type=ComponentType.DEVICE,
        name=clean(known.mpn) or clean(key),
        manufacturer=OrganizationalEntity(name=maker) if maker else None,
        description=clean(known.description) or None,
        bom_ref=f"part {module_id} {clean(key)}",
        properties=_properties(facts),
    )


def _properties(facts: Iterable[tuple[str, str]]) -> list[Property]:
    return [Property(name=f"{NAMESPACE}:{name}", value=clean(text)) for name, text in facts if text]
