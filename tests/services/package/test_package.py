"""A whole package: schemas hold for every JSON file, marks stand in every name, repeats are byte-equal."""

import json

import msgspec
import pytest
from jsonschema import Draft202012Validator

from bomtui.export.json import json_bytes
from bomtui.export.notation import Notation, NotationError
from bomtui.export.schema import RECORDS, published_schema
from bomtui.services.package.package import Options, Package, package
from tests.services.package.sample import gathered, subject


@pytest.fixture(scope="module")
def made() -> Package:
    """The package of the sweeper in text formats."""
    return package(subject().reviewed, subject("sweeper", "distributed").reviewed, Options(("html", "csv", "json")))


def test_every_json_file_keeps_to_its_schema(made: Package) -> None:
    """Each JSON artefact of a sample is valid against the schema of its name."""
    checked = 0
    for file in made.files:
        if file.format == "json":
            name = {"comparison": "compare"}.get(file.artefact, file.artefact)
            assert name in RECORDS
            Draft202012Validator(json.loads(published_schema(name))).validate(json.loads(file.data))
            checked += 1
    assert checked == 14


def test_every_json_file_reads_back_to_its_record(made: Package) -> None:
    """Decoding a JSON artefact gives the record that it was written from."""
    records = {name: artefact.record for name, artefact in gathered().items()}
    checked = 0
    for file in made.files:
        if file.format == "json" and file.artefact in records:
            record = records[file.artefact]
            assert json_bytes(msgspec.json.decode(file.data, type=type(record))) == file.data
            assert json_bytes(record) == file.data
            checked += 1
    assert checked == len(records) == 13


def test_files_of_invented_data_say_so(made: Package) -> None:
    """The name and the content of every file of a sample carry the mark."""
    assert all("DEMO-DATA" in file.name for file in made.files)
    assert all(b"DEMO DATA" in file.data for file in made.files)
    assert len({file.name for file in made.files}) == len(made.files)


def test_a_package_with_errors_may_not_be_sent(made: Package) -> None:
    """An open error keeps a package back until it is forced, and then every file says so."""
    assert not made.may_be_sent
    assert made.standing == "NOT SENDABLE: 96 open errors"
    forced = package(subject().reviewed, None, Options(("csv",), forced=True))
    assert forced.may_be_sent
    assert all(b"FORCED although not sendable: 96 open errors" in file.data for file in forced.files[:-1])


def test_a_package_is_the_same_again(made: Package) -> None:
    """The same input gives the same bytes in every file."""
    again = package(subject().reviewed, subject("sweeper", "distributed").reviewed, Options(("html", "csv", "json")))
    assert again == made


def test_a_comma_cannot_be_both() -> None:
    """A decimal comma with a comma between cells is refused, and so is any other sign between cells."""
    with pytest.raises(NotationError, match="needs another separator"):
        Notation(decimal_comma=True)
    with pytest.raises(NotationError, match="expected one of comma, semicolon, tab"):
        Notation(separator="|")
