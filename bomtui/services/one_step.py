"""One step into a proposal file without the app: opened, done, saved, or left as it was."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from bomtui.edit.edit import Edit
from bomtui.services.errors import BomtuiError
from bomtui.services.session import Session, open_session


@contextmanager
def session_of(target: Path, folder: Path | None = None) -> Iterator[Session]:
    """Open a proposal for as long as a block of code works with it; what it did and could not save is dropped.

    Args:
        target: The proposal.
        folder: Folder of the journals; None for the person's own.

    Raises:
        BomtuiError: The proposal cannot be read.
    """
    session = open_session(target, folder)
    try:
        yield session
    except BomtuiError:
        # What a killed program left is somebody's work, and stays.
        if session.recovered or session.offer is not None:
            session.close()
        else:
            session.discard()
        raise
    session.close()


def write_step(session: Session, edit: Edit, failing: str, *, losing: bool) -> None:
    """Do one step and save it.

    Args:
        session: The open proposal.
        edit: The step.
        failing: How the sentence begins where it cannot be done: `nothing was imported`.
        losing: Whether to save although comments of the files would be lost.

    Raises:
        BomtuiError: The step is refused, the files cannot be written, or hold steps that somebody has not saved.
    """
    if session.recovered or session.offer is not None:
        raise BomtuiError(
            f"{session.path}: steps that were not saved wait for it; open it in the app and save or drop them first"
        )
    refusal = session.do(edit)
    if refusal is not None:
        raise BomtuiError(f"{failing}: {refusal.sentence}")
    session.save(losing=losing)
