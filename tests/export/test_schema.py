"""The published schema files."""

import pytest

from bomtui.export.schema import RECORDS, published_schema, schema_bytes


@pytest.mark.parametrize("name", RECORDS)
def test_published_files_are_those_of_the_records(name: str) -> None:
    """Each file holds exactly what its record gives; `python -m tests.export.write_schemas` writes them anew."""
    assert published_schema(name) == schema_bytes(name)
