"""The catalog's file: its transactions, its versions, and one sentence for every fault."""

import sqlite3
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy import inspect, text

from bomtui.storage.catalog import Catalog, CatalogError, open_catalog
from bomtui.storage.catalog import migrations as steps
from bomtui.storage.catalog.engine import Database
from bomtui.storage.catalog.tables import METADATA
from bomtui.storage.problems import Problem


def fault_of(action: Callable[[], object]) -> str:
    """The sentence with which an action is refused."""
    with pytest.raises(CatalogError) as caught:
        action()
    return str(caught.value)


def change(path: Path, *statements: str) -> None:
    """Write into a file beside the catalog."""
    connection = sqlite3.connect(path)
    with connection:
        for statement in statements:
            connection.execute(statement)
    connection.close()


def test_transactions_that_read_and_then_write_lose_nothing(tmp_path: Path) -> None:
    """Two writers that each add one to a number many times reach the sum of both."""
    path = tmp_path / "catalog.db"
    change(path, "CREATE TABLE counter (value INTEGER)", "INSERT INTO counter VALUES (0)")
    rounds = 40

    def add() -> None:
        database = Database(path)
        for _ in range(rounds):
            with database.writing() as connection:
                value = connection.execute(text("SELECT value FROM counter")).scalar_one()
                connection.execute(text("UPDATE counter SET value = :value"), {"value": value + 1})
        database.close()

    writers = [threading.Thread(target=add) for _ in range(2)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    database = Database(path)
    with database.reading() as connection:
        assert connection.execute(text("SELECT value FROM counter")).scalar_one() == 2 * rounds
    database.close()


def test_programs_that_open_a_new_catalog_at_the_same_moment_all_get_it(tmp_path: Path) -> None:
    """First use by several programs at once makes one catalog, and none of them is turned away."""
    answers: list[int | str] = []

    def first_use(path: Path, gate: threading.Barrier) -> None:
        gate.wait()
        try:
            with Catalog(path) as catalog:
                answers.append(catalog.count())
        except CatalogError as error:
            answers.append(str(error))

    for number in range(12):
        gate = threading.Barrier(3)
        arguments = (tmp_path / f"{number}.db", gate)
        programs = [threading.Thread(target=first_use, args=arguments) for _ in range(gate.parties)]
        for program in programs:
            program.start()
        for program in programs:
            program.join()
    assert answers == [0] * 36


def test_a_file_that_somebody_holds_is_read_in_the_mode_it_has(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the file cannot be switched to its write-ahead log right now, it is used as it is, and switched later."""
    path = tmp_path / "catalog.db"
    with Catalog(path) as catalog:
        catalog.build({}, "imported")
    holder = sqlite3.connect(path, isolation_level=None)
    assert holder.execute("PRAGMA journal_mode=delete").fetchone() == ("delete",)
    monkeypatch.setattr("bomtui.storage.catalog.sqlite_file._PRAGMAS", ("busy_timeout=50",))
    holder.execute("BEGIN IMMEDIATE")
    with Catalog(path) as catalog:
        assert catalog.count() == 0
    holder.execute("ROLLBACK")
    holder.close()
    with Catalog(path) as catalog:
        assert catalog.count() == 0
    reader = sqlite3.connect(path)
    assert reader.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    reader.close()


def test_a_change_of_the_schema_is_taken_back_with_its_transaction(tmp_path: Path) -> None:
    """What fails half way leaves no table behind."""
    database = Database(tmp_path / "catalog.db")

    def half_way() -> None:
        with database.writing() as connection:
            connection.execute(text("CREATE TABLE half (value INTEGER)"))
            connection.execute(text("no statement"))

    assert "syntax error" in fault_of(half_way)
    with database.reading() as connection:
        assert inspect(connection).get_table_names() == []
    database.close()


def test_a_reader_sees_the_state_before_an_unfinished_write(tmp_path: Path) -> None:
    """A page can be read while somebody writes, and shows what was there before."""
    database = Database(tmp_path / "catalog.db")
    with database.writing() as connection:
        connection.execute(text("CREATE TABLE number (value INTEGER)"))
    with database.writing() as connection:
        connection.execute(text("INSERT INTO number VALUES (1)"))
        with database.reading() as other:
            assert other.execute(text("SELECT count(*) FROM number")).scalar_one() == 0
    with database.reading() as other:
        assert other.execute(text("SELECT count(*) FROM number")).scalar_one() == 1
    database.close()


def test_the_steps_make_the_tables_that_queries_expect(tmp_path: Path) -> None:
    """After all steps the file has the columns of `tables`, each with its type and in its order."""
    with Catalog(tmp_path / "catalog.db") as catalog, catalog._database.reading() as connection:
        there = inspect(connection)
        for table in METADATA.sorted_tables:
            columns = [(column["name"], column["type"]._type_affinity) for column in there.get_columns(table.name)]
            assert columns == [(column.name, column.type._type_affinity) for column in table.columns], table.name


def test_a_further_step_is_taken_once_and_keeps_the_parts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of an older version is brought further on opening, one step after the other, with all it holds."""
    path = tmp_path / "catalog.db"
    with open_catalog(path) as catalog:
        before = catalog.count()
    copies: list[Path | None] = []
    known = len(steps.MIGRATIONS)
    second = steps.Step({steps.FILE: ("CREATE TABLE second (value INTEGER)",)})
    third = steps.Step({steps.FILE: ("ALTER TABLE second ADD COLUMN further INTEGER",)})
    monkeypatch.setattr(steps, "MIGRATIONS", (*steps.MIGRATIONS, second, third))
    for _ in range(2):
        with open_catalog(path) as catalog:
            assert catalog.count() == before
            copies.append(catalog.copy)
    copy = tmp_path / f"catalog.db.version-{known}.backup"
    assert copies == [copy, None]
    assert {file.name for file in tmp_path.iterdir() if file.suffix in {".backup", ".unfinished"}} == {copy.name}
    monkeypatch.undo()
    with open_catalog(copy) as catalog:
        assert catalog.count() == before
    assert fault_of(lambda: open_catalog(path)) == (
        f"the catalog {path} was written by a newer program (its tables have version {known + 2}, this program knows"
        f" {known}); use that program, or name another catalog"
    )


def test_a_step_that_fails_leaves_the_file_at_its_version(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Steps are taken together or not at all."""
    path = tmp_path / "catalog.db"
    Catalog(path).close()

    twice = ("CREATE TABLE second (value INTEGER)",) * 2
    broken = steps.Step({steps.FILE: twice})
    monkeypatch.setattr(steps, "MIGRATIONS", (*steps.MIGRATIONS, broken))
    assert "second already exists" in fault_of(lambda: Catalog(path))
    monkeypatch.undo()
    with Catalog(path) as catalog:
        assert catalog.count() == 0


@pytest.mark.parametrize(
    "content", [b"this is a letter, not a database\n" * 40, b"\0" * 5000, b"SQLite format 3\0" + b"x" * 4000]
)
def test_a_file_that_is_no_database_is_refused(tmp_path: Path, content: bytes) -> None:
    """A file of another kind is named, with what to do, and is left as it was."""
    path = tmp_path / "catalog.db"
    path.write_bytes(content)
    sentence = fault_of(lambda: open_catalog(path))
    assert sentence.startswith(f"the catalog {path} cannot be used: it is ")
    assert "move it away" in sentence
    assert path.read_bytes() == content


def test_a_damaged_catalog_is_refused(tmp_path: Path) -> None:
    """A catalog whose pages are overwritten gives one sentence, not a wrong answer."""
    path = tmp_path / "catalog.db"
    open_catalog(path).close()
    content = bytearray(path.read_bytes())
    content[4096:] = b"\xff" * (len(content) - 4096)
    path.write_bytes(content)

    def use() -> None:
        with open_catalog(path) as catalog:
            catalog.find("switch")

    assert fault_of(use).startswith(f"the catalog {path} cannot be used: it is damaged")


def test_a_database_of_something_else_is_refused(tmp_path: Path) -> None:
    """A database of another program is neither read nor changed."""
    path = tmp_path / "letters.db"
    change(path, "CREATE TABLE letters (sender TEXT)")
    sentence = f"{path} is a database of something else, not a catalog"
    assert fault_of(lambda: open_catalog(path)) == sentence
    change(path, "CREATE TABLE schema_version (version TEXT)", "INSERT INTO schema_version VALUES ('alpha')")
    assert fault_of(lambda: open_catalog(path)) == sentence
    connection = sqlite3.connect(path)
    names = [name for (name,) in connection.execute("SELECT name FROM sqlite_master ORDER BY name")]
    connection.close()
    assert names == ["letters", "schema_version"]


def test_a_folder_in_place_of_the_file_is_refused(tmp_path: Path) -> None:
    """A folder is no catalog, and a file is no folder for one."""
    assert fault_of(lambda: open_catalog(tmp_path)).startswith(
        f"the catalog {tmp_path} cannot be used: it cannot be opened"
    )
    (tmp_path / "file").write_bytes(b"")
    inside = tmp_path / "file" / "catalog.db"
    assert fault_of(lambda: open_catalog(inside)).startswith(f"the folder of the catalog {inside} cannot be made: ")


def test_a_part_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    """A row changed by hand into something that is no part gives a sentence with its key."""
    path = tmp_path / "catalog.db"
    open_catalog(path).close()
    change(path, "UPDATE part SET params = '{\"kind\": 5}' WHERE key = 'can-1'")
    with open_catalog(path) as catalog:
        assert fault_of(lambda: catalog.get("can-1")).startswith("part can-1 of the catalog cannot be read: ")
        assert catalog.get("can-2") is not None


def test_a_damaged_installation_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Shipped parts with faults are not taken over, and the first fault is shown."""
    problems = (Problem("fet.csv", "expected each column once", 1), Problem("fet.csv", "another", 2))
    monkeypatch.setattr("bomtui.storage.catalog.catalog.read_shipped_catalog", lambda: ({}, problems))
    assert fault_of(lambda: open_catalog(tmp_path / "catalog.db")) == (
        "the shipped catalog cannot be read: fet.csv:1: expected each column once (and 1 more)"
    )


def test_a_catalog_in_use_by_another_writer_is_waited_for_and_then_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A write lock that does not go away ends in one sentence."""
    path = tmp_path / "catalog.db"
    monkeypatch.setattr("bomtui.storage.catalog.sqlite_file._PRAGMAS", ("busy_timeout=50",))
    with open_catalog(path) as catalog:
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        assert catalog.count() == 129
        sentence = fault_of(lambda: catalog.build({}, "imported"))
        other.execute("ROLLBACK")
        other.close()
    assert sentence == f"the catalog {path} cannot be used: another program is writing to it; try again in a moment"


def test_folders_above_the_file_are_made(tmp_path: Path) -> None:
    """First use makes the data folder."""
    path = tmp_path / "data" / "bomtui" / "catalog.db"
    with open_catalog(path) as catalog:
        assert catalog.name == str(path)
    assert path.is_file()


def test_a_path_may_hold_any_sign(tmp_path: Path) -> None:
    """Signs that mean something in an address mean nothing in a path."""
    path = tmp_path / "a ?&=#% ü:1.db"
    with Catalog(path) as catalog:
        assert catalog.count() == 0
    assert path.is_file()
