"""Answers about a sheet in a file (JSON), so that the next sheet of the same form needs no question."""

from pathlib import Path

import msgspec

from bomtui.model.fields import field_table
from bomtui.storage.field_text import shown
from bomtui.storage.proposal.toml_file import read_bytes, unreadable
from bomtui.storage.tabular.answers import Answers

_ENCODER = msgspec.json.Encoder(order="deterministic")


def read_answers(path: Path) -> Answers:
    """Read answers.

    Raises:
        UnreadableError: There is no such file, or it holds something else; the sentence says what.
    """
    data = read_bytes(path)
    try:
        answers = msgspec.json.decode(data, type=Answers)
    except (msgspec.MsgspecError, UnicodeDecodeError) as error:
        raise unreadable(path, f"expected answers about a list (JSON), found something else ({error})") from None
    wrong = wrong_answer(answers)
    if wrong:
        raise unreadable(path, wrong)
    return answers


def answers_bytes(answers: Answers) -> bytes:
    """Write answers; those that were not given are left out."""
    given = {
        info.name: value
        for info in field_table(Answers)
        if (value := getattr(answers, info.name)) != info.default and value is not None
    }
    return msgspec.json.format(_ENCODER.encode(given), indent=2) + b"\n"


def wrong_answer(answers: Answers) -> str:
    """Say which answer is none of its choices; empty where all are lawful."""
    for info in field_table(Answers):
        value = getattr(answers, info.name)
        if info.choices and value is not None and value not in info.choices:
            return f"{info.name}: expected one of {', '.join(info.choices)}, found {shown(value)}"
    return ""
