"""A program that writes into a catalog and says after each write that it is kept: `PLACE NAME COUNT`.

It adds parts of its own, and one to the number of channels of a part that everybody changes.
"""

import sys

import msgspec

from bomtui.model.part import Part
from bomtui.storage.catalog import Catalog, ConflictError

SHARED = "shared"


def main(place: str, name: str, count: int) -> None:
    """Write, and say so."""
    with Catalog(place) as catalog:
        for number in range(count):
            catalog.build({f"{name}-{number}": Part(kind="fet", mpn=f"{name}{number}")}, "imported")
            added = False
            while not added:
                seen = catalog.get(SHARED)
                assert seen is not None
                after = msgspec.structs.replace(seen, channels=(seen.channels or 0) + 1)
                try:
                    catalog.build({SHARED: after}, "edited", seen={SHARED: seen})
                except ConflictError:
                    continue
                added = True
            print(number, flush=True)  # noqa: T201 - the acknowledgement that the test counts


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
