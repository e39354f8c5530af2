"""The program, killed within a save on order: at one of the calls of the system by which the save changes the disk.

The order is a file that `ORDER_VARIABLE` names: number of the call, and whether before, half through or after it. It
is taken when a save begins, and a save without an order goes as ever.
"""

import os
import runpy
from pathlib import Path

from bomtui.services.session import Session
from tests.services.killed_session import kill_at

ORDER_VARIABLE = "KILL_ORDER"


def main() -> None:
    """Run the program."""
    order = Path(os.environ[ORDER_VARIABLE])
    real = Session.save

    def save(self: Session, *, force: bool = False, losing: bool = False) -> None:
        if order.exists():
            call, when = order.read_text(encoding="utf-8").split()
            order.unlink()
            kill_at(int(call), when)
        real(self, force=force, losing=losing)

    Session.save = save  # type: ignore[method-assign]
    runpy.run_module("bomtui", run_name="__main__", alter_sys=True)


if __name__ == "__main__":
    main()
