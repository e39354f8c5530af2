"""A PostgreSQL server of its own, in a folder of its own, for the tests."""

import os
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from urllib.parse import quote

OWNER = "keeper"
PASSWORD = "p/w @s3cr3t"  # noqa: S105 - of a server that lives as long as a test


def _program(name: str) -> str:
    found = shutil.which(name)
    if found is None:
        # Debian keeps them beside each other by version, outside the search path.
        places = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))
        assert places, f"{name} is not installed"
        found = str(places[-1])
    return found


class Cluster:
    """A server that is started and stopped by the tests, and asks everybody for a password."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="server-"))
        # The server refuses to run as the superuser of the machine.
        self._user: dict[str, Any] = {"user": "postgres", "group": "postgres"} if os.geteuid() == 0 else {}
        if self._user:
            shutil.chown(self.folder, **self._user)
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port: int = free.getsockname()[1]
        word = self.folder / "word"
        word.write_text(PASSWORD, encoding="utf-8")
        word.chmod(0o644)
        self._run(
            _program("initdb"), "--pgdata", str(self.folder / "data"), "--username", OWNER, "--pwfile", str(word),
            "--auth", "scram-sha-256", "--encoding", "UTF8", "--locale", "C", "--no-sync",
        )  # fmt: skip
        self.start()

    def start(self) -> None:
        """Start it, and wait until it answers."""
        options = f"-p {self.port} -c listen_addresses=127.0.0.1 -c unix_socket_directories= -c fsync=off"
        self._run(
            _program("pg_ctl"), "--pgdata", str(self.folder / "data"), "--wait", "--log", str(self.folder / "log"),
            "--options", options, "start",
        )  # fmt: skip

    def stop(self) -> None:
        """Stop it at once, whoever is connected."""
        self._run(_program("pg_ctl"), "--pgdata", str(self.folder / "data"), "--wait", "--mode", "fast", "stop")

    def remove(self) -> None:
        """Stop it and take all of it away."""
        self.stop()
        shutil.rmtree(self.folder)

    def address(self, database: str, user: str = OWNER, password: str = PASSWORD) -> str:
        """Address of one of its databases."""
        return f"postgresql://{user}:{quote(password, safe='')}@127.0.0.1:{self.port}/{database}"

    def tell(self, database: str, *statements: str) -> None:
        """Have statements carried out by its owner, each on its own."""
        import psycopg

        words: Mapping[str, Any] = {"host": "127.0.0.1", "port": self.port, "user": OWNER, "password": PASSWORD}
        with psycopg.connect(dbname=database, autocommit=True, **words) as connection:
            for statement in statements:
                connection.execute(statement.encode())

    def new_database(self, name: str, encoding: str = "UTF8") -> str:
        """Make an empty database, and return its address."""
        self.tell("postgres", f"CREATE DATABASE {name} ENCODING '{encoding}' LOCALE 'C' TEMPLATE template0")
        return self.address(name)

    def _run(self, *words: str) -> None:
        # What it starts in the background must not keep this process' pipes open.
        with (self.folder / "said").open("ab") as said:
            subprocess.run(words, check=True, stdout=said, stderr=said, cwd=self.folder, **self._user)
