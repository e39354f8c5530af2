"""The journal: what it says of steps and saves, what is left after a kill, and who may write it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from bomtui.edit.edits.field import SetField
from bomtui.edit.edits.part import FreezePart, RefreshPart
from bomtui.model.part import Part
from bomtui.storage.edit_record import EditRecordError, edit_from_record, edit_record
from bomtui.storage.journal import Journal, find_journal, new_journal
from bomtui.storage.journal_lines import (
    Content,
    Done,
    JournalError,
    Left,
    Line,
    Pending,
    Saving,
    Undone,
    read_lines,
    replay,
    written_head,
    written_line,
)
from tests.edit.small import PARTS, small

BASE = Content("p0", "f0")
HALF = Content("p0", "f1")
NEW = Content("p1", "f1")
ELSE = Content("x", "f0")


def power(watts: float) -> SetField:
    """Set the power of a load."""
    return SetField(place="loads.L1.rated_power", value=watts)


ONE, TWO = Done(power(1.0)), Done(power(2.0))
FREEZE = Done(FreezePart(key="new", part=Part(kind="fet", mpn="0012", note="\u03a9")))
SAVING = Saving(NEW, PARTS)


def journal_of(*lines: Line) -> bytes:
    """A journal as bytes."""
    return written_head(BASE) + b"".join(map(written_line, lines))


def test_lines_read_back_as_they_were_written() -> None:
    """Every kind of line comes back equal: steps, steps that go on, undo, and saves with the parts before them."""
    lines = (ONE, Done(power(1.5), replaces=True), FREEZE, Undone(), SAVING, Saving(Content("a", "")), TWO)
    left = read_lines(journal_of(*lines))
    assert left == Left(BASE, lines, len(journal_of(*lines)))


def test_a_journal_can_be_read_by_people() -> None:
    """Values stand in the text of their field, and parts as in their file."""
    text = journal_of(ONE, FREEZE).decode()
    assert '{"step":{"edit":"set_field","place":"loads.L1.rated_power","value":"1 W"}}\n' in text
    assert '{"kind":"fet","mpn":"0012","note":"\u03a9"}' in text


@pytest.mark.parametrize("cut", range(1, 60))
def test_a_torn_last_line_is_left_out(cut: int) -> None:
    """Wherever the last line ends too early, the lines before it are all there, and the next one goes in its place."""
    whole = journal_of(ONE)
    torn = journal_of(ONE, TWO)[: len(whole) + cut]
    left = read_lines(torn)
    assert left is not None
    assert (left.lines, left.length) == ((ONE,), len(whole))


def test_a_last_line_of_another_content_is_torn_too() -> None:
    """A line of zero bytes at the end, as a failed disk leaves, is left out; a head that is torn holds nothing."""
    whole = journal_of(ONE)
    left = read_lines(whole + b"\0" * 40 + b"\n")
    assert left is not None
    assert left.length == len(whole)
    assert read_lines(written_head(BASE)[:-1]) is None
    assert read_lines(b"") is None


@pytest.mark.parametrize(
    "line",
    [
        b"\0\0\n",
        b"{}\n",
        b'{"step":{"edit":"fly"}}\n',
        b'{"step":{"edit":"set_field","place":"loads.L1.wings","value":"2"}}\n',
        b'{"step":{"edit":"set_field","place":"loads.L1.wings"}}\n',
        b'{"step":{"edit":"set_field","place":"loads.L1.rated_power","value":"2 V"}}\n',
        b'{"step":{"edit":"add_load","load_id":"L9","load":{"subsystem":"X","colour":"red"}}}\n',
        b'{"step":{"edit":"add_load","load_id":"L9"}}\n',
        b'{"step":{"edit":"add_zone","zone_id":"L9","colour":"red"}}\n',
        b'{"step":{"edit":"pin","variant":"one","loads":"L1"}}\n',
        b'{"dance":true}\n',
    ],
)
def test_a_damaged_line_before_the_last_is_told(line: bytes) -> None:
    """What cannot be read in the middle is an error with its number, never a step left out in silence."""
    with pytest.raises(JournalError, match="line 3 cannot be read: "):
        read_lines(journal_of(ONE) + line + written_line(TWO))


def test_a_journal_of_another_format_is_told() -> None:
    """A head of a newer program is not taken for one of ours."""
    with pytest.raises(JournalError, match="line 1 cannot be read: expected a journal of format 1, found 2"):
        read_lines(written_head(BASE).replace(b'"journal":1', b'"journal":2') + written_line(ONE))


def test_a_record_that_is_no_edit_is_told() -> None:
    """Anything but a table is refused in one sentence."""
    with pytest.raises(EditRecordError, match="expected the record of an edit"):
        edit_from_record(["set_field"])
    assert edit_from_record(edit_record(ONE.edit)) == ONE.edit


@pytest.mark.parametrize(
    ("lines", "found", "expected"),
    [
        ((ONE, TWO), BASE, Pending((ONE, TWO))),
        ((ONE, TWO), ELSE, None),
        ((ONE, SAVING), BASE, Pending((ONE,))),
        ((ONE, SAVING), HALF, Pending((ONE,), PARTS)),
        ((ONE, SAVING), NEW, Pending(())),
        ((ONE, SAVING, TWO), NEW, Pending((TWO,))),
        ((ONE, SAVING, TWO), BASE, Pending((ONE, TWO))),
        ((ONE, SAVING, TWO, Saving(Content("p2", "f1"))), HALF, Pending((ONE, TWO), PARTS)),
        ((ONE, SAVING, TWO, Saving(Content("p2", "f1"))), Content("p2", "f1"), Pending(())),
        ((ONE, SAVING), Content("p1", "f0"), None),
        ((ONE, Saving(Content("p1", "f0"))), Content("p1", "f0"), Pending(())),
        ((ONE, Saving(Content("p1", "f0"))), HALF, None),
    ],
)
def test_what_is_unsaved_follows_from_what_the_files_hold(
    lines: tuple[Line, ...], found: Content, expected: Pending | None
) -> None:
    """After a kill at each step of a save, the steps that the files lack are told apart from those they hold."""
    assert Left(BASE, lines, 0).pending(found) == expected


def test_edits_that_stand_are_those_not_undone() -> None:
    """Of the lines of a journal, what was done, not replaced and not undone is what can be offered."""
    lines = (ONE, Undone(), TWO, Done(power(3.0), replaces=True), SAVING, FREEZE)
    assert Left(BASE, lines, 0).edits == (power(3.0), FREEZE.edit)


def test_replaying_gives_history_with_undo() -> None:
    """Steps come back one by one, so that they can be undone, on the parts that they began with."""
    refresh = Done(RefreshPart(key="fet", part=Part(kind="fet", mpn="9")))
    history = replay(Pending((ONE, TWO, Undone(), refresh), {"fet": PARTS["fet"]}), small())
    assert [step.edit for step in history.done] == [ONE.edit, refresh.edit]
    assert history.current.parts == {"fet": Part(kind="fet", mpn="9")}
    history.undo()
    assert history.current.proposal.loads["L1"].rated_power_w == 1.0


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ((Undone(),), "step 1 undoes something that was not done"),
        ((ONE, ONE), r"step 2 \(set rated power of L1\) cannot be done again: it changes nothing"),
        ((Done(SetField(place="loads.L9.name")),), "cannot be done again: there is no 'loads.L9'"),
    ],
)
def test_a_step_that_cannot_be_done_again_is_told(lines: tuple[Done | Undone, ...], words: str) -> None:
    """Steps that do not fit are an error, never skipped."""
    with pytest.raises(JournalError, match=words):
        replay(Pending(lines), small())


def lines_in(journal: Journal) -> tuple[Line, ...]:
    """Lines of a journal file."""
    left = read_lines(journal.path.read_bytes())
    return () if left is None else left.lines


def test_a_journal_is_written_cleared_and_taken_up(tmp_path: Path) -> None:
    """Lines are in the file when `append` returns; a cleared journal begins with another head."""
    journal = new_journal(tmp_path / "state", tmp_path / "p.toml")
    journal.append(ONE, BASE)
    journal.append(TWO, BASE)
    assert lines_in(journal) == (ONE, TWO)
    journal.clear()
    assert journal.path.read_bytes() == b""
    journal.append(TWO, NEW)
    journal.close()
    taken = find_journal(tmp_path / "state", tmp_path / "p.toml")
    assert taken is not None
    assert taken.read() == Left(NEW, (TWO,), len(written_head(NEW) + written_line(TWO)))
    taken.append(ONE, BASE)
    assert lines_in(taken) == (TWO, ONE)
    taken.remove()
    assert list((tmp_path / "state").iterdir()) == []


def test_going_on_behind_a_torn_line(tmp_path: Path) -> None:
    """The next line goes where the torn one began, and nothing of that is left behind it."""
    journal = new_journal(tmp_path, tmp_path / "p.toml")
    journal.append(ONE, BASE)
    journal.close()
    with journal.path.open("ab") as file:
        file.write(b'{"step":' + b"x" * 500)
    taken = find_journal(tmp_path, tmp_path / "p.toml")
    assert taken is not None
    assert taken.read() is not None
    taken.append(Undone(), BASE)
    assert taken.path.read_bytes() == journal_of(ONE, Undone())
    taken.close()


@pytest.mark.parametrize("step", ["fsync", "write"])
def test_a_line_that_fails_leaves_the_journal_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    """After a full disk the lines before are whole, and the next line is not joined to half of the failed one."""
    journal = new_journal(tmp_path, tmp_path / "p.toml")
    journal.append(ONE, BASE)
    write = os.write

    def half(descriptor: int, data: bytes) -> int:
        write(descriptor, data[: len(data) // 2])
        raise OSError(28, "No space left on device")

    def fail(_: int) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(os, step, half if step == "write" else fail)
    with pytest.raises(OSError, match=r"No space|Input/output"):
        journal.append(FREEZE, BASE)
    monkeypatch.undo()
    left = read_lines(journal.path.read_bytes())
    assert left is not None
    assert left.lines[0] == ONE
    journal.append(TWO, BASE)
    assert journal.path.read_bytes() == journal_of(ONE, TWO)
    journal.close()


def test_every_line_is_flushed_to_the_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each line, and the name of a new journal in its folder, is on the disk before it is acknowledged."""
    flushed: list[int] = []
    sync = os.fsync

    def noted(descriptor: int) -> None:
        flushed.append(descriptor)
        sync(descriptor)

    monkeypatch.setattr(os, "fsync", noted)
    journal = new_journal(tmp_path, tmp_path / "p.toml")
    assert len(flushed) == 1
    lines: tuple[Line, ...] = (ONE, Undone(), SAVING)
    for number, line in enumerate(lines, start=2):
        journal.append(line, BASE)
        assert len(flushed) == number
    journal.clear()
    assert len(flushed) == 5
    journal.close()


def test_a_living_program_keeps_its_journal(tmp_path: Path) -> None:
    """While a program writes a journal no other one takes it up; a second program gets one of its own."""
    first = new_journal(tmp_path, tmp_path / "p.toml")
    first.append(ONE, BASE)
    assert find_journal(tmp_path, tmp_path / "p.toml") is None
    second = new_journal(tmp_path, tmp_path / "p.toml")
    assert second.path != first.path
    second.append(TWO, BASE)
    first.remove()
    second.close()
    left = find_journal(tmp_path, tmp_path / "p.toml")
    assert left is not None
    assert lines_in(left) == (TWO,)
    left.close()


def test_a_journal_belongs_to_one_path(tmp_path: Path) -> None:
    """Proposals of one name in two folders have two journals; a link leads to that of the file behind it."""
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    real = tmp_path / "a" / "p.toml"
    real.touch()
    (tmp_path / "link.toml").symlink_to(real)
    journal = new_journal(tmp_path, real)
    journal.append(ONE, BASE)
    journal.close()
    assert find_journal(tmp_path, tmp_path / "b" / "p.toml") is None
    taken = find_journal(tmp_path, tmp_path / "link.toml")
    assert taken is not None
    taken.close()


def test_a_journal_is_the_persons_own(tmp_path: Path) -> None:
    """Nobody else may read what somebody has not saved, and it lies under no name of a proposal."""
    journal = new_journal(tmp_path, tmp_path / "p.toml")
    assert journal.path.stat().st_mode & 0o077 == 0
    assert journal.path.suffix == ".journal"
    aside = journal.set_aside()
    assert aside.name.endswith(".journal.damaged")
    assert find_journal(tmp_path, tmp_path / "p.toml") is None
    again = new_journal(tmp_path, tmp_path / "p.toml")
    assert again.set_aside().name.endswith(".journal.damaged1")


def test_a_killed_program_lets_its_journal_go(tmp_path: Path) -> None:
    """The lock ends with the process, however it ends."""
    program = (
        "import os, signal, sys; from pathlib import Path; from bomtui.storage.journal import new_journal;"
        "from bomtui.storage.journal_lines import Content, Undone;"
        "journal = new_journal(Path(sys.argv[1]), Path(sys.argv[1], 'p.toml'));"
        "journal.append(Undone(), Content('p0', 'f0')); os.kill(os.getpid(), signal.SIGKILL)"
    )
    run = subprocess.run([sys.executable, "-c", program, str(tmp_path)], check=False)
    assert run.returncode == -9
    journal = find_journal(tmp_path, tmp_path / "p.toml")
    assert journal is not None
    assert lines_in(journal) == (Undone(),)
    journal.close()
