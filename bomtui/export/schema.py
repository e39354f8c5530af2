"""The published JSON Schema of each artefact, made from its record."""

from pathlib import Path
from typing import Any

import msgspec

from bomtui.export.compare_record import CompareRecord
from bomtui.export.diagram_record import DiagramRecord
from bomtui.export.draft_record import DraftRecord
from bomtui.export.failures_record import FailuresRecord
from bomtui.export.json import json_bytes
from bomtui.export.merge_modules_record import MergeModulesRecord
from bomtui.export.merge_record import MergeRecord
from bomtui.export.package.channels import ChannelList
from bomtui.export.package.findings import AssumptionList, FindingsList
from bomtui.export.package.loads import LoadList
from bomtui.export.package.manifest import Manifest
from bomtui.export.package.networks import NetworkList
from bomtui.export.package.others import DiagramSet
from bomtui.export.package.power import PowerBudget
from bomtui.export.package.standby import StandbyBudget
from bomtui.export.package.summary import Summary
from bomtui.export.package.thermal import ThermalSheet
from bomtui.export.parts_list_record import PartsListRecord
from bomtui.export.records import Record
from bomtui.export.review_record import ReviewRecord
from bomtui.export.rollup_record import RollupRecord
from bomtui.export.volumes_record import VolumesRecord

RECORDS: dict[str, type[Record]] = {
    "assumptions": AssumptionList,
    "channel-list": ChannelList,
    "compare": CompareRecord,
    "diagram": DiagramRecord,
    "diagrams": DiagramSet,
    "draft": DraftRecord,
    "failures": FailuresRecord,
    "findings": FindingsList,
    "load-list": LoadList,
    "merge": MergeRecord,
    "merge-modules": MergeModulesRecord,
    "network-list": NetworkList,
    "package": Manifest,
    "parts-list": PartsListRecord,
    "power-budget": PowerBudget,
    "review": ReviewRecord,
    "rollup": RollupRecord,
    "standby-budget": StandbyBudget,
    "summary": Summary,
    "thermal-sheet": ThermalSheet,
    "volumes": VolumesRecord,
}
"""Record of each artefact that has a published schema."""

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema_path(name: str) -> Path:
    """Return the file of a published schema.

    Args:
        name: Key of `RECORDS`.
    """
    return Path(__file__).with_name("schemas") / f"{name}.json"


def published_schema(name: str) -> bytes:
    """Return a published schema as its file holds it."""
    return schema_path(name).read_bytes()


def schema_bytes(name: str) -> bytes:
    """Make the schema of an artefact from its record; the published file holds exactly this."""
    schema: dict[str, Any] = msgspec.json.schema(RECORDS[name])
    return json_bytes({"$schema": DIALECT, "title": f"bomtui {name}", **schema})
