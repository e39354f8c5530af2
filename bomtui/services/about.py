"""What the program is: version, the parts it brings along, cautions, published schemas."""

from dataclasses import dataclass

from bomtui.export.schema import RECORDS, published_schema
from bomtui.services.errors import BomtuiError, UnknownNameError
from bomtui.services.program import CAUTIONS, DISTRIBUTION, PURPOSE, version
from bomtui.storage.shipped import read_shipped_catalog, sample_folders, shipped_catalog_hash

HASH_DIGITS = 16


@dataclass(frozen=True, slots=True)
class About:
    """What the program is.

    Attributes:
        program: Its name.
        version: Its version.
        purpose: What it is for.
        catalog_parts: Parts that it brings along, all invented.
        catalog_hash: First digits of the hash of their content.
        samples: Names of the sample proposals.
        schemas: Names of the published schemas.
        cautions: What every reader of a figure must know.
    """

    program: str
    version: str
    purpose: str
    catalog_parts: int
    catalog_hash: str
    samples: tuple[str, ...]
    schemas: tuple[str, ...]
    cautions: tuple[str, ...]


def about() -> About:
    """Return what the program is."""
    parts, _ = read_shipped_catalog()
    return About(
        program=DISTRIBUTION,
        version=version(),
        purpose=PURPOSE,
        catalog_parts=len(parts),
        catalog_hash=shipped_catalog_hash()[:HASH_DIGITS],
        samples=tuple(sample_folders()),
        schemas=schema_names(),
        cautions=CAUTIONS,
    )


def schema_names() -> tuple[str, ...]:
    """Return the names of the published schemas."""
    return tuple(RECORDS)


def schema(name: str) -> bytes:
    """Return a published JSON Schema.

    Raises:
        UnknownNameError: There is none of that name.
        BomtuiError: The installation lacks it.
    """
    if name not in RECORDS:
        raise UnknownNameError(f"there is no schema '{name}'; the schemas are {', '.join(RECORDS)}")
    try:
        return published_schema(name)
    except FileNotFoundError:
        raise BomtuiError(f"the schema {name} is missing: the installation is damaged") from None
