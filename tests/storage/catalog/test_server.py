"""A catalog in a database of a PostgreSQL server: the same answers as a file, its faults in one sentence."""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from sqlalchemy import inspect

from bomtui.cli.main import main
from bomtui.model.part import Part, PriceBreak
from bomtui.services.catalog import PLACE_VARIABLE
from bomtui.storage.catalog import Catalog, CatalogError, ReadOnlyError, Row, migrations, open_catalog
from bomtui.storage.catalog.filters import Limit, Order
from bomtui.storage.catalog.tables import METADATA
from tests.storage.catalog import some_parts
from tests.storage.catalog.cluster import OWNER, PASSWORD, Cluster
from tests.storage.catalog.test_filters import QUANTITIES, answer, limits

pytestmark = pytest.mark.slow

READER, WORD = "reader", "r3ad s3cr3t"


def fault_of(action: Callable[[], object]) -> str:
    """The sentence with which an action is refused."""
    with pytest.raises(CatalogError) as caught:
        action()
    assert PASSWORD not in str(caught.value)
    assert caught.value.__cause__ is None or PASSWORD not in str(caught.value.__cause__)
    return str(caught.value)


def shown(cluster: Cluster, database: str, user: str = OWNER) -> str:
    """What is shown of a database."""
    return f"postgresql://{user}@127.0.0.1:{cluster.port}/{database}"


@pytest.fixture(scope="module")
def both(cluster: Cluster, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Catalog, Catalog]]:
    """The shipped parts, and some more, in a file and on a server."""
    more = {
        "odd-1": Part(kind="fet", mpn="A/1-00", maker="Ünïcode & Söhne", description="50 % of _all_ \\ 'quoted' \"x\""),
        "odd-2": Part(kind="fet", mpn="A 100", maker="日本 電子", description="ΑΒΓ straße: *star* a-b"),
        "odd-3": Part(kind="passive", mpn="%", maker="_", description="NEAR/2 AND OR NOT"),
    }
    with ExitStack() as stack:
        places = (str(tmp_path_factory.mktemp("file") / "catalog.db"), cluster.new_database("shared"))
        file, server = (stack.enter_context(open_catalog(place)) for place in places)
        for catalog in (file, server):
            catalog.build(more, "imported", "by hand")
        yield file, server


def pages(catalog: Catalog, text: str, kind: str | None) -> list[tuple[Row, ...]]:
    """All pages of an answer."""
    found, after = [], None
    while True:
        page = catalog.find(text, kind, 7, after)
        found.append(page.rows)
        after = page.after
        if after is None:
            return found


TEXTS = st.one_of(
    st.text(max_size=12),
    st.lists(
        st.sampled_from(
            ["hs24", "can", "%", "_", "\\", "/", "'", '"', "a", "A/1-00", "a100", "-", ":", "*", "ΑΒΓ", "STRASSE",
             "日本", "odd", "50 %", "NOT", "(", "ü"]
        ),
        max_size=4,
    ).map(" ".join),
)  # fmt: skip


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=TEXTS, kind=st.sampled_from([None, "fet", "passive", "transceiver_can"]))
def test_any_text_has_the_same_answer(both: tuple[Catalog, Catalog], text: str, kind: str | None) -> None:
    """Whatever is searched for gives an answer, and a file and a server give the same one, page by page."""
    file, server = both
    assert pages(server, text, kind) == pages(file, text, kind)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    wanted=st.lists(limits(), max_size=3),
    order=st.none() | st.builds(Order, QUANTITIES, st.booleans()),
    page_rows=st.sampled_from([5, 1000]),
)
def test_filters_and_orders_have_the_same_answer(
    both: tuple[Catalog, Catalog], wanted: list[Limit], order: Order | None, page_rows: int
) -> None:
    """A file and a server keep the same filters, and put what they find in the same order."""
    file, server = both
    assert answer(server, wanted, order, page_rows) == answer(file, wanted, order, page_rows)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(parts=st.dictionaries(some_parts.keys, some_parts.records(Part), min_size=1, max_size=3))
@example(parts={"0": Part(kind="fet", currency="\0", breaks=(PriceBreak(quantity=1, price=Decimal(1)),))})
def test_parts_come_back_as_they_were(both: tuple[Catalog, Catalog], parts: dict[str, Part]) -> None:
    """Any part is kept letter by letter, or refused for the same reason."""
    answers: list[object] = []
    for catalog in both:
        try:
            catalog.build(parts, "imported")
            answers.append(catalog.get_many(parts))
        except CatalogError as error:
            answers.append(str(error))
    assert answers[0] == answers[1]
    assert isinstance(answers[0], str) or answers[0] == parts


def test_the_steps_make_the_tables_that_queries_expect(both: tuple[Catalog, Catalog]) -> None:
    """A server has the columns of `tables`, in their order, and its index of fragments."""
    with both[1]._database.reading() as connection:
        there = inspect(connection)
        for table in METADATA.sorted_tables:
            columns = [(column["name"], column["type"]._type_affinity) for column in there.get_columns(table.name)]
            assert columns == [(column.name, column.type._type_affinity) for column in table.columns], table.name
        assert "part_search" in {index["name"] for index in there.get_indexes("part")}


def test_a_server_that_goes_and_comes_back(cluster: Cluster, address: str) -> None:
    """Without its server one sentence says so; when it is back the same program goes on, and nothing is lost."""
    with open_catalog(address) as catalog:
        before = catalog.count()
        catalog.build({"kept": Part(kind="fet")}, "imported")
        cluster.stop()
        for action in (catalog.count, lambda: catalog.build({"lost": Part(kind="fet")}, "imported")):
            sentence = fault_of(action)
            assert sentence.startswith(f"the catalog {catalog.name} cannot be used: ")
            assert "reached" in sentence or "lost" in sentence
            assert "\n" not in sentence
        cluster.start()
        assert catalog.count() == before + 1
        catalog.build({"again": Part(kind="fet")}, "imported")
        assert catalog.get_many(["kept", "lost", "again"]).keys() == {"kept", "again"}


def test_who_may_only_read(cluster: Cluster, address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A role that may only read finds and shows parts, and is told in one sentence where it would write."""
    open_catalog(address).close()
    database = address.rpartition("/")[2]
    cluster.tell("postgres", f"DROP ROLE IF EXISTS {READER}", f"CREATE ROLE {READER} LOGIN PASSWORD '{WORD}'")
    cluster.tell(database, f"GRANT SELECT ON ALL TABLES IN SCHEMA public TO {READER}")
    reading = cluster.address(database, READER, WORD)
    with open_catalog(reading) as catalog:
        assert catalog.find("can").rows
        with pytest.raises(ReadOnlyError, match="may read it but not write it"):
            catalog.build({"new": Part(kind="fet")}, "imported")
    monkeypatch.setattr("bomtui.storage.catalog.catalog.shipped_catalog_hash", lambda: "another")
    with open_catalog(reading) as catalog:
        assert catalog.is_behind
        assert catalog.get("can-1") is not None
    cluster.tell(database, f"REVOKE ALL ON ALL TABLES IN SCHEMA public FROM {READER}")
    cluster.tell("postgres", f"DROP ROLE {READER}")


def test_an_empty_database_of_somebody_else(cluster: Cluster, address: str) -> None:
    """Tables of another program, and a database that cannot hold every text, are left alone."""
    database = address.rpartition("/")[2]
    cluster.tell(database, "CREATE TABLE letters (sender TEXT)")
    assert fault_of(lambda: Catalog(address)) == (
        f"{shown(cluster, database)} is a database of something else, not a catalog"
    )
    latin = cluster.new_database("latin", "LATIN1")
    assert fault_of(lambda: Catalog(latin)) == (
        f"the database {shown(cluster, 'latin')} cannot hold every sign of a text: expected the encoding UTF8, found"
        " LATIN1"
    )


def test_versions(cluster: Cluster, address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """An older database is brought further where the team agrees, and one that is newer than the program is refused."""
    with open_catalog(address) as catalog:
        before = catalog.count()
    known = len(migrations.MIGRATIONS)
    further = migrations.Step({migrations.SERVER: ("CREATE TABLE further (value BIGINT)",)})
    monkeypatch.setattr(migrations, "MIGRATIONS", (*migrations.MIGRATIONS, further))
    name = shown(cluster, address.rpartition("/")[2])
    assert fault_of(lambda: open_catalog(address)) == (
        f"the catalog {name} has tables of version {known} and this program needs {known + 1}: have it backed up, then"
        " `bomtui catalog build --migrate` brings it further; older programs cannot use it then"
    )
    with open_catalog(address, team_agrees=True) as catalog:
        assert catalog.count() == before
    monkeypatch.undo()
    assert fault_of(lambda: open_catalog(address)) == (
        f"the catalog {name} was written by a newer program (its tables have version {known + 1}, this program knows"
        f" {known}); use that program, or name another catalog"
    )


def test_without_the_right_to_make_an_index(cluster: Cluster, address: str) -> None:
    """A role that may not add the extension gets a catalog without its index, and the same answers."""
    database = address.rpartition("/")[2]
    cluster.tell(
        "postgres", f"CREATE ROLE maker LOGIN PASSWORD '{WORD}'", f"REVOKE ALL ON DATABASE {database} FROM PUBLIC"
    )
    cluster.tell("postgres", f"GRANT CONNECT ON DATABASE {database} TO maker")
    cluster.tell(database, "GRANT ALL ON SCHEMA public TO maker")
    with open_catalog(cluster.address(database, "maker", WORD)) as catalog:
        assert [row.key for row in catalog.find("can-1").rows]
        with catalog._database.reading() as connection:
            assert "part_search" not in {index["name"] for index in inspect(connection).get_indexes("part")}


@pytest.mark.parametrize("wrong", ["password", "host", "port", "database", "option", "address"])
def test_no_password_is_shown(
    cluster: Cluster,
    address: str,
    wrong: str,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    """Whatever is wrong with an address, no command shows the password in it; nor does one that works."""
    database = address.rpartition("/")[2]
    named = {
        "password": cluster.address(database, OWNER, "wr0ng s3cr3t"),
        "host": address.replace("127.0.0.1", "no-such-host.invalid"),
        "port": address.replace(str(cluster.port), "1"),
        "database": address.replace(database, "no_such_database"),
        "option": f"{address}?no_such_option=s3cr3t",
        "address": address.replace("%40", "@").replace("%2F", "/"),
    }[wrong]
    secret = "s3cr3t"  # noqa: S105 - what must not be seen
    monkeypatch.chdir(tmp_path)
    prices = tmp_path / "prices.csv"
    prices.write_text("mpn,price\nX,1\n", encoding="utf-8")
    for where, fine in ((named, False), (address, True)):
        monkeypatch.setenv(PLACE_VARIABLE, where)
        for words in (
            ["catalog", "build"], ["catalog", "find", "can"], ["catalog", "show", "can-1"], ["about"],
            ["catalog", "import", str(prices), "--dry-run"], ["about", "--format", "json"],
        ):  # fmt: skip
            code = main(words)
            seen = capfd.readouterr()
            assert secret not in seen.out + seen.err
            assert "Traceback" not in seen.err
            if words[0] == "catalog" and words[1] != "import":
                assert (code == 0) is fine, (words, seen.err)
    for path in tmp_path.rglob("*"):
        assert path.is_dir() or secret not in path.read_text(encoding="utf-8", errors="replace")


def test_a_password_from_its_own_file(
    cluster: Cluster, address: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A password may stand in the file or the variable of PostgreSQL's own programs; options are passed on."""
    database = address.rpartition("/")[2]
    without = f"postgresql://{OWNER}@127.0.0.1:{cluster.port}/{database}?sslmode=disable"
    assert "password" in fault_of(lambda: Catalog(without))
    words = tmp_path / "words"
    words.write_text(f"127.0.0.1:{cluster.port}:*:{OWNER}:{PASSWORD}\n", encoding="utf-8")
    words.chmod(0o600)
    monkeypatch.setenv("PGPASSFILE", str(words))
    Catalog(without).close()
    monkeypatch.delenv("PGPASSFILE")
    monkeypatch.setenv("PGPASSWORD", PASSWORD)
    Catalog(without).close()
    assert "SSL" in fault_of(lambda: Catalog(without.replace("disable", "require")))
