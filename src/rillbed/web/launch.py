"""Starting the pages: the demonstration in a folder that is thrown away, and the server of one's own loops."""

from __future__ import annotations

import gc
import os
import signal
import webbrowser
from collections.abc import Callable
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rillbed.web.backup.archive import Manifest
    from rillbed.web.doctor import Finding
    from rillbed.web.exchange.take import Taken
    from rillbed.web.log.models import Loop

THREADS = 6


def demo(*, open_browser: bool = True, port: int | None = None, on: date | None = None) -> None:
    """Serve an invented loop with a year of log until interrupted; nothing of it is kept.

    Parameters
    ----------
    open_browser : bool
        False prints the address only.
    port : int or None
        Port to listen on; None takes a free one.
    on : date or None
        Day the example pretends it is; None is today.

    Raises
    ------
    OSError
        If the port is taken.
    """
    with TemporaryDirectory(prefix="rillbed-demo-", ignore_cleanup_errors=True) as folder:
        os.environ["RILLBED_DATA"] = folder
        application = prepare()
        from rillbed.web import clock
        from rillbed.web.people import links, seed

        clock.pretend(on)
        person = seed.example(on or clock.now().date())

        def greet(address: str) -> None:
            door = address + links.entry_path(person)
            said = f"An invented loop with a year of invented log. Open {door}\nStop with Ctrl-C; nothing is kept."
            print(said, flush=True)
            if open_browser:
                webbrowser.open(door)

        run(application, "127.0.0.1", port or 0, greet)


def serve(host: str = "127.0.0.1", port: int = 8000, *, works: bool = True) -> None:
    """Serve the pages for one's own loops until interrupted; the log is kept in the data folder.

    Parameters
    ----------
    host, port : str, int
        Where to listen.
    works : bool
        False leaves the working out to other processes.

    Raises
    ------
    OSError
        If the port is taken or the host is not an address of this machine.
    """
    if host not in ("127.0.0.1", "localhost", "::1", "0.0.0.0", "::"):
        os.environ["RILLBED_HOSTS"] = ",".join(filter(None, (os.environ.get("RILLBED_HOSTS"), host)))
    application = prepare()
    from django.db import connection

    from rillbed.web import database
    from rillbed.web.people import links

    if not works and connection.vendor != "postgresql":
        raise ValueError(f"no-worker: nobody else can work on {database.place()}; see {database.VARIABLE}")

    def greet(address: str) -> None:
        print(f"Rillbed answers at {address}/ and keeps its data in {database.place()}. Stop with Ctrl-C.", flush=True)
        if links.set_up_is_open():
            print(
                f"Nobody can sign in yet. Make the first account, within a day: {address}{links.set_up_path()}",
                flush=True,
            )

    run(application, host, port, greet, works=works)


def prepare() -> Callable[..., Any]:
    """Load Django, bring the database up to date, its data copied before, and return the WSGI application.

    Raises
    ------
    ValueError
        If the database cannot be opened, or holds data of a newer version.
    """
    application = load()
    from django.core.management import call_command

    from rillbed.web import database

    database.reach()
    with database.alone():  # two servers that start at once bring it up to date one after the other
        database.refuse_newer()
        _copy_before_change()
        call_command("migrate", verbosity=0, interactive=False)
    return application


def settle() -> None:
    """Load every page and keep all that is loaded out of the collector's rounds, which would stop a page for long."""
    from django.urls import get_resolver

    _ = get_resolver().url_patterns
    gc.collect()
    gc.freeze()


def load() -> Callable[..., Any]:
    """Load Django, and return the WSGI application."""
    os.umask(0o077)  # log, sessions and key are the owner's alone
    os.environ["DJANGO_SETTINGS_MODULE"] = "rillbed.web.settings"
    from django.core.wsgi import get_wsgi_application

    return get_wsgi_application()


def _copy_before_change() -> None:
    """Keep the data of an older version as they were, if this one is about to change their tables."""
    from rillbed.web import database

    known, missing = database.migrations()
    if known and missing:
        print(f"The data are copied before they are brought up to date: {_copy(14)}")


def _copy(keep_newest: int) -> Path:
    from django.conf import settings
    from django.db import connection

    from rillbed.web import clock
    from rillbed.web.backup import keep

    copy = keep.backup_server if connection.vendor == "postgresql" else keep.backup
    return copy(settings.DATA, clock.now(), keep=keep_newest)


def backup(keep_newest: int) -> Path:
    """Copy the data of this installation, while it is used or not, and return where the copy lies.

    Raises
    ------
    ValueError
        If there are no data or they are damaged.
    """
    load()
    from django.db import connection

    from rillbed.web import database

    if connection.vendor == "postgresql":
        database.reach()
    return _copy(keep_newest)


def doctor() -> list[Finding]:
    """Look this installation over; nothing is changed."""
    load()
    from rillbed.web.doctor import findings

    return findings()


def verify(chosen: Path) -> Manifest:
    """Check that a backup could be restored, and return what it says of itself.

    Raises
    ------
    ValueError
        If it is damaged or of a newer version.
    """
    load()
    from rillbed.web import database
    from rillbed.web.backup import keep

    return keep.check(chosen, database.known_migrations())


def restore(chosen: Path) -> tuple[Manifest, Path | None]:
    """Put a backup in the place of the data and bring it up to date; return what came and where the old data lie.

    Raises
    ------
    ValueError
        If the backup is damaged or of a newer version; nothing is changed then.
    """
    load()
    from django.conf import settings
    from django.db import connection

    from rillbed.web import clock, database
    from rillbed.web.backup import keep

    known = database.known_migrations()
    if connection.vendor == "postgresql":
        keep.check(chosen, known)
        prepare()  # the tables of this version, to take the rows
        return keep.restore_server(settings.DATA, chosen, clock.now(), known)
    done = keep.restore(settings.DATA, chosen, clock.now(), known)
    prepare()
    return done


def export(name: str | None, target: Path | None) -> Path:
    """Write a loop with its log into a zip and return where it lies.

    Raises
    ------
    ValueError
        If it is not plain which loop is meant.
    OSError
        If the file is there already or cannot be written.
    """
    prepare()
    from rillbed.web.exchange.take import file_of, name_of

    loop = _loop(name)
    path = target or Path(name_of(loop))
    data = file_of(loop, "the command line")
    with path.open("xb") as file:
        file.write(data)
    return path


def bring(path: Path, into: str | None, person: str | None, *, dry: bool) -> Taken:
    """Take a file into a loop, or make one of it.

    Raises
    ------
    ValueError
        If it is not plain which loop or whose.
    OSError
        If the file cannot be read.
    """
    from rillbed.garden.exchange.archive import MOST_BYTES, unpacked

    with path.open("rb") as file:
        data = file.read(MOST_BYTES + 1)
    prepare()
    from django.contrib.auth.models import User

    from rillbed.web.exchange.take import take_in

    if not User.objects.filter(is_active=True).exists():
        raise ValueError("nobody has an account here yet, so that nobody could own a loop; make one: rillbed serve")
    people = User.objects.filter(is_active=True, **({"username": person} if person else {}))
    if people.count() != 1:
        known = ", ".join(User.objects.filter(is_active=True).values_list("username", flat=True))
        raise ValueError(f"--person: {person or 'nobody'!r} is not allowed; must be one of: {known}")
    loop = _loop(into) if into else None
    return take_in(unpacked(data, path.name), people.get(), loop, path.name, dry=dry)


def _loop(name: str | None) -> Loop:
    from rillbed.web.log.models import Loop

    found = Loop.objects.filter(erasing=False, **({"name": name} if name else {}))
    if found.count() != 1:
        known = ", ".join(Loop.objects.filter(erasing=False).values_list("name", flat=True))
        if not known:
            raise ValueError("there is no loop here yet; make one in the pages: rillbed serve")
        raise ValueError(f"loop: {name or 'no name'!r} is not allowed; must be one of: {known}")
    return found.get()


def run(
    application: Callable[..., Any], host: str, port: int, greet: Callable[[str], None], *, works: bool = True
) -> None:
    """Listen, say so, and answer until interrupted."""
    from waitress import create_server  # type: ignore[import-untyped]

    from rillbed.web.forecasts import worker

    try:
        server = create_server(application, host=host, port=port, threads=THREADS, ident=None)
    except ValueError:
        raise ValueError(f"host: {host!r} is no address of this machine; 127.0.0.1 is heard on it alone") from None
    signal.signal(signal.SIGTERM, signal.default_int_handler)  # so that a demo folder goes away then, too
    name = f"[{host}]" if ":" in host else host
    if works:
        worker.start()
        worker.wake()
    settle()
    greet(f"http://{name}:{server.effective_port}")
    try:
        server.run()
    finally:
        server.close()
        worker.stop()
