"""A failure of the program or of its surroundings, worded for the screen."""

from dataclasses import dataclass

from textual.message import Message


@dataclass
class Failed(Message):
    """Something asked for could not be done.

    Attributes:
        title: What could not be done.
        lines: Why, and what to do.
    """

    title: str
    lines: tuple[str, ...]


def describe(error: BaseException) -> tuple[str, ...]:
    """Sentences for an error: what happened and what to do, never a traceback."""
    if isinstance(error, OSError) and error.strerror:
        where = f"{error.filename}: " if error.filename else ""
        return (f"{where}{error.strerror}.",)
    return (
        f"{type(error).__name__}: {error}",
        "",
        "This is a fault of the program, not of the proposal. Figures on the screen are those from before the failure.",
        "Please report the line above together with what was done.",
    )
