"""A PostgreSQL of the tests' own: started in a folder that is thrown away, listening on a socket in it alone."""

import atexit
import os
import pwd
import secrets
import shutil
import signal
import subprocess
import tempfile
import time
from functools import cache
from pathlib import Path

import pytest

ASKED = os.environ.get("RILLBED_TEST_DATABASE", "") == "postgresql"  # the pages' tests run on it
MUST = os.environ.get("RILLBED_EVERY_TEST", "") == "1"
WHY_NOT = "no PostgreSQL on this machine (tests/find_postgres.sh installs it)"


def programs() -> Path | None:
    """The folder of its programs: on the path, or where Debian puts them."""
    known = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), reverse=True)
    found = known[0] if known else shutil.which("initdb")
    return Path(found).resolve().parent if found else None


def _as_nobody() -> dict[str, object]:
    """It refuses to run as root, so root runs it as somebody else."""
    if os.geteuid() != 0:
        return {}
    names = {one.pw_name for one in pwd.getpwall()}
    who = pwd.getpwnam("postgres" if "postgres" in names else "nobody")
    return {"user": who.pw_uid, "group": who.pw_gid, "extra_groups": []}


@cache
def server() -> Path:
    """Start it, once, and return the folder of its socket."""
    bin_folder = programs()
    if bin_folder is None:
        assert not MUST, WHY_NOT
        pytest.skip(WHY_NOT)
    folder = Path(tempfile.mkdtemp(prefix="rillbed-pg-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    who = _as_nobody()
    if who:
        os.chown(folder, who["user"], who["group"])
    data = folder / "data"
    make = [bin_folder / "initdb", "-D", data, "-U", "rillbed", "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync"]
    subprocess.run(make, check=True, capture_output=True, cwd=folder, **who)
    # What is lost when the machine goes down is of no interest here; what a killed client loses is.
    quick = ["-c", "fsync=off", "-c", "full_page_writes=off", "-c", "max_connections=60", "-c", "log_statement=none"]
    alone = ["-c", "listen_addresses=", "-c", f"unix_socket_directories={folder}"]
    with (folder / "log").open("wb") as log:
        start = [bin_folder / "postgres", "-D", data, *quick, *alone]
        running = subprocess.Popen(start, stdout=log, stderr=log, cwd=folder, **who)
    atexit.register(_stop, running)
    _wait_until_it_answers(folder)
    return folder


def _stop(running: subprocess.Popen) -> None:
    running.send_signal(signal.SIGINT)  # its fast way of stopping
    try:
        running.wait(20)
    except subprocess.TimeoutExpired:
        running.kill()


def _wait_until_it_answers(folder: Path) -> None:
    import psycopg

    until = time.monotonic() + 30
    while True:
        try:
            psycopg.connect(f"host={folder} user=rillbed dbname=postgres").close()
            return
        except psycopg.OperationalError:
            assert time.monotonic() < until, (folder / "log").read_text()
            time.sleep(0.05)


def new_database() -> str:
    """Make an empty database and return its address."""
    import psycopg

    folder, name = server(), f"t{secrets.token_hex(4)}"
    with psycopg.connect(f"host={folder} user=rillbed dbname=postgres", autocommit=True) as link:
        link.execute(f"CREATE DATABASE {name}")
    return f"postgres://rillbed@/{name}?host={folder}"
