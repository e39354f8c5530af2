"""A program that brings a catalog to a newer version and is killed before its n-th statement: `PLACE N`."""

import os
import signal
import sys

from sqlalchemy import Engine, event

from bomtui.storage.catalog import Catalog, migrations

FURTHER = tuple(f"CREATE TABLE further_{number} (value BIGINT)" for number in range(12))
NEXT = migrations.Step({migrations.FILE: FURTHER, migrations.SERVER: FURTHER})


def main(place: str, last: int) -> None:
    """Take one more step, as far as it comes."""
    migrations.MIGRATIONS = (*migrations.MIGRATIONS, NEXT)
    left = iter(range(last))

    @event.listens_for(Engine, "before_cursor_execute")
    def count(*_: object) -> None:
        if next(left, None) is None:
            os.kill(os.getpid(), signal.SIGKILL)

    Catalog(place, team_agrees=True).close()
    print("done", flush=True)  # noqa: T201 - what the test reads


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
