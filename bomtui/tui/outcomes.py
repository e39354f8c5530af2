"""What becomes of a change of the proposal, and of saving it: plain data, no screen library."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from bomtui.edit.edit import Edit


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of something that was to be done to the proposal.

    Attributes:
        state: `done`; `nothing` where it changes nothing; `refused` where it cannot be done; `failed` where the system
            does not keep it. Only after `done` is there a newer snapshot.
        message: One sentence: what was done, or why not.
        address: Line of the sheet that it is about; empty for none.
        place: Field or record that it is about, as files name it; empty for none.
        retry: What goes ahead although other things go along with it, as the message says; None where nothing helps.
    """

    state: Literal["done", "nothing", "refused", "failed"]
    message: str
    address: str = ""
    place: str = ""
    retry: "Edit | None" = None


@dataclass(frozen=True, slots=True)
class SaveOutcome:
    """What became of saving.

    Attributes:
        state: `conflict` where somebody else has changed a file; `loss` where something that the file holds would be
            lost; nothing was written in both cases, and each has its own word to go ahead with. `sample` where the
            files came with the program and stay as they are: the proposal is saved under another name.
        message: One sentence.
        lines: What would be lost, one sentence each.
    """

    state: Literal["saved", "nothing", "conflict", "loss", "sample", "failed"]
    message: str
    lines: tuple[str, ...] = ()
