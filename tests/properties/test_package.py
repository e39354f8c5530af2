"""Laws of packages over generated whole proposals: nothing breaks, every JSON file keeps to its schema."""

import csv
import io
import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from jsonschema import Draft202012Validator

from bomtui.export.schema import RECORDS, published_schema
from bomtui.model.proposal import Snapshot
from bomtui.services.open import Opened
from bomtui.services.package.package import package
from bomtui.services.review import review
from bomtui.services.rollup import compute
from tests.strategies import snapshots

VALIDATORS = {name: Draft202012Validator(json.loads(published_schema(name))) for name in RECORDS}


@pytest.mark.slow
@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(snapshots())
def test_any_proposal_gives_a_whole_package(snapshot: Snapshot) -> None:
    """Whatever is missing or odd in a proposal, all files are written, valid, and the same at the second time."""
    opened = Opened(path=Path("generated.toml"), snapshot=snapshot, problems=(), file_hash="")
    variants = [review(compute(opened, name)) for name in list(snapshot.proposal.variants)[:2]]
    other = variants[1] if len(variants) > 1 else None
    made = package(variants[0], other)
    assert len({file.name for file in made.files}) == len(made.files) > 50
    for file in made.files:
        if file.format == "json":
            VALIDATORS[{"comparison": "compare"}.get(file.artefact, file.artefact)].validate(json.loads(file.data))
        elif file.format == "csv":
            rows = list(csv.reader(io.StringIO(file.data.decode()), strict=True))
            assert {len(row) for row in rows} == {len(rows[0])}
    assert package(variants[0], other) == made
