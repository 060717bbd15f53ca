"""A PostgreSQL server of the tests' own: on the loopback, in a temporary folder, gone at the end.

The server refuses to run as root; where the tests do, it runs as the user `postgres`.
"""

import contextlib
import os
import shutil
import signal
import socket
import subprocess
import tempfile
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import psycopg

PASSWORD = "p@ss:word/1"
_HOMES = "/usr/lib/postgresql"


@dataclass(frozen=True)
class Server:
    """A running server, with the superuser `postgres`."""

    port: int

    def execute(self, statement: str, database: str = "postgres") -> list[Any]:
        """Run one statement on its own; returns its rows."""
        with self.connect(database) as connection:
            cursor = connection.execute(statement)  # type: ignore[call-overload]
            return list(cursor) if cursor.description else []

    def connect(self, database: str) -> psycopg.Connection[Any]:
        """A connection beside the program's own, each statement committed at once."""
        return psycopg.connect(
            host="127.0.0.1",
            port=self.port,
            user="postgres",
            password=PASSWORD,
            dbname=database,
            autocommit=True,
        )

    @contextlib.contextmanager
    def database(self) -> Iterator[str]:
        """A new database; gives its name."""
        name = f"shop_{uuid.uuid4().hex[:8]}"
        self.execute(f"CREATE DATABASE {name} TEMPLATE template0")
        try:
            yield name
        finally:
            self.execute(f"DROP DATABASE {name} WITH (FORCE)")

    def setting(self, database: str) -> str:
        """The database as a shop writes it into its settings."""
        return f"postgres:{PASSWORD}@127.0.0.1:{self.port}/{database}"


def binaries() -> Path | None:
    """The folder of the newest server installed."""
    found = sorted(Path(_HOMES).glob("*/bin/postgres"), key=lambda one: int(one.parts[-3]))
    on_path = shutil.which("postgres")
    if found:
        return found[-1].parent
    return Path(on_path).resolve().parent if on_path else None


@contextlib.contextmanager
def running(folder: Path) -> Iterator[Server]:
    """Start a server of the binaries in `folder`."""
    who: dict[str, Any] = {}
    if os.geteuid() == 0:
        who = {"user": "postgres", "group": "postgres", "extra_groups": []}
    home = Path(tempfile.mkdtemp(prefix="fitplanner-postgres-"))
    try:
        password = home / "password"
        password.write_text(PASSWORD, encoding="ascii")
        if who:
            shutil.chown(home, "postgres", "postgres")
            shutil.chown(password, "postgres", "postgres")
        data = home / "data"
        subprocess.run(
            [
                *(folder / "initdb", "-D", data, "-U", "postgres", "-A", "scram-sha-256"),
                *(f"--pwfile={password}", "-E", "UTF8", "--locale=C", "--no-sync"),
            ],
            check=True,
            cwd=home,
            stdout=subprocess.DEVNULL,
            **who,
        )
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        with (home / "log").open("wb") as log:
            server = subprocess.Popen(
                [
                    *(folder / "postgres", "-D", data, "-p", str(port), "-F"),
                    *("-c", "listen_addresses=127.0.0.1", "-c", "unix_socket_directories="),
                ],
                cwd=home,
                stdout=log,
                stderr=log,
                **who,
            )
            try:
                _wait(folder, port, server, home / "log")
                yield Server(port)
            finally:
                server.send_signal(signal.SIGINT)  # its fast way to stop
                server.wait(timeout=30)
    finally:
        shutil.rmtree(home, ignore_errors=True)


def _wait(folder: Path, port: int, server: subprocess.Popen[bytes], log: Path) -> None:
    ask = [folder / "pg_isready", "-q", "-h", "127.0.0.1", "-p", str(port), "-t", "1"]
    for _ in range(600):
        if server.poll() is not None:
            raise RuntimeError(log.read_text(encoding="utf-8", errors="replace"))
        if subprocess.run(ask, check=False).returncode == 0:
            return
        with contextlib.suppress(subprocess.TimeoutExpired):
            server.wait(timeout=0.05)
    raise RuntimeError("the server did not start in time")
