"""A server for the tests of catalogs that a team shares."""

from collections.abc import Iterator
from itertools import count

import pytest

from tests.storage.catalog.cluster import Cluster

_NUMBERS = count(1)


@pytest.fixture(scope="session")
def cluster() -> Iterator[Cluster]:
    """A PostgreSQL server."""
    server = Cluster()
    yield server
    server.remove()


@pytest.fixture
def address(cluster: Cluster) -> str:
    """Address of an empty database, with its password."""
    return cluster.new_database(f"parts{next(_NUMBERS)}")
