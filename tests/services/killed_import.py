"""A program that imports a list and kills itself within some call.

Its arguments are WHAT TARGET LIST FOLDER CALL WHEN: `loads` into a proposal, with FOLDER for the journals, or `parts`
into a catalog. It is killed at the CALLth call that changes the proposal's folders, or that works on the database;
WHEN says whether before, half through or after it. With call 0 it comes to its end.
"""

import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bomtui.services.catalog_import import import_parts
from bomtui.services.load_import import import_loads
from bomtui.services.sheets import Answers
from tests.services.killed_session import kill_at


def kill_at_database(number: int, when: str) -> None:
    """Have the process killed at a call to the database: before or after it."""
    from sqlalchemy.engine.default import DefaultDialect

    calls = 0

    def counted(real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*arguments: Any, **options: Any) -> Any:  # noqa: ANN401 - stands in for a call of the library
            nonlocal calls
            calls += 1
            if calls == number and when == "after":
                real(*arguments, **options)
            if calls == number:
                os.kill(os.getpid(), signal.SIGKILL)
            return real(*arguments, **options)

        return call

    for name in ("do_execute", "do_executemany", "do_commit"):
        setattr(DefaultDialect, name, counted(getattr(DefaultDialect, name)))


def main() -> None:
    """Import to the kill, or to the end."""
    what, target, file, folder, call, when = sys.argv[1:7]
    if what == "loads":
        if int(call):
            kill_at(int(call), when)
        import_loads(Path(target), Path(file), folder=Path(folder))
    else:
        if int(call):
            kill_at_database(int(call), when)
        import_parts(Path(file), Answers(kind="fet", currency="EUR"), place=target)


if __name__ == "__main__":
    main()
