"""`bomtui about`, and the published schemas against everything that the program prints."""

from pathlib import Path
from typing import Any

import jsonschema
import pytest

from bomtui.services.about import schema_names
from bomtui.services.program import CAUTIONS
from tests.cli.running import SWEEPER, VAN, Command

VARIANTS = [(SWEEPER, "zone"), (SWEEPER, "distributed"), (VAN, "central"), (VAN, "distributed")]


def _validator(schema: dict[str, Any]) -> jsonschema.Draft202012Validator:
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema, format_checker=jsonschema.FormatChecker())


def test_about_says_what_the_program_is(bomtui: Command) -> None:
    """Version, shipped parts, catalog file, samples, schemas and all cautions are printed."""
    text = bomtui("about").out
    found = bomtui("about", "--format", "json").json
    words = " ".join(text.split())
    assert "129 invented parts" in words
    assert "parcel_van, street_sweeper, subject_bench" in words
    assert all(" ".join(caution.split()) in words for caution in CAUTIONS)
    assert found["catalog_parts"] == 129
    assert found["cautions"] == list(CAUTIONS)
    assert [line for line in text.splitlines() if len(line) > 80 and not line.startswith("catalog: ")] == []


REPORTS = ("compare", "diagram", "failures", "parts-list", "review", "rollup", "volumes")
"""Commands that print a result of a variant; packing and the artefacts of a package have tests of their own."""


@pytest.mark.slow
@pytest.mark.parametrize("name", REPORTS)
@pytest.mark.parametrize(("sample", "variant"), VARIANTS)
def test_results_follow_the_published_schema(bomtui: Command, name: str, sample: Path, variant: str) -> None:
    """Every JSON result of every sample variant is lawful by the schema that the program prints."""
    schema = bomtui("about", "--schema", name).json
    found = bomtui(name, sample, "--variant", variant, "--format", "json").json
    assert list(_validator(schema).iter_errors(found)) == []


def test_the_schema_refuses_what_is_wrong(bomtui: Command) -> None:
    """The schema is no empty promise: money as a number, a bound of another name and a lost key are refused."""
    validator = _validator(bomtui("about", "--schema", "rollup").json)
    good = bomtui("rollup", SWEEPER, "--format", "json").json
    for path, value in (
        (("totals", "parts_cost"), 439.2334),
        (("totals", "parts_cost"), "about 439"),
        (("totals", "standby_a", "bound"), "roughly"),
        (("totals", "standby_a"), 0.001),
        (("totals", "part_numbers"), -1),
    ):
        place = good
        for step in path[:-1]:
            place = place[step]
        kept, place[path[-1]] = place[path[-1]], value
        assert list(validator.iter_errors(good)), path
        place[path[-1]] = kept
    del good["content_hash"]
    assert len(list(validator.iter_errors(good))) == 1


def test_an_unknown_schema_is_refused(bomtui: Command) -> None:
    """A schema that does not exist is refused with those there are."""
    result = bomtui("about", "--schema", "rolup")
    assert (result.code, result.err) == (
        2,
        [f"bomtui: there is no schema 'rolup'; the schemas are {', '.join(schema_names())}"],
    )
