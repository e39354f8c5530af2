"""What a command did, and the samples that commands run on."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import msgspec

REPO = Path(__file__).parents[2]
SWEEPER = REPO / "sample_projects" / "street_sweeper"
VAN = REPO / "sample_projects" / "parcel_van"


@dataclass(frozen=True)
class Outcome:
    """What a command did.

    Attributes:
        code: Exit code.
        stdout: Bytes of the result.
        err: Lines of stderr.
    """

    code: int
    stdout: bytes
    err: list[str]

    @property
    def out(self) -> str:
        """The result as text."""
        return self.stdout.decode()

    @property
    def json(self) -> Any:  # noqa: ANN401 - any JSON
        """The result as data."""
        return msgspec.json.decode(self.stdout)


Command = Callable[..., Outcome]
