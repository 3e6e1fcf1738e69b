"""Looking over an installation: folder, key, database, log, copies, jobs; nothing is changed."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.util import find_spec
from pathlib import Path
from typing import Literal

LEAST_FREE_B = 500 * 2**20
OLD_COPY_DAYS = 14
OTHERS = 0o077  # rights of group and others


@dataclass(frozen=True)
class Finding:
    """One thing looked at: sound, worth a look, or wrong; what to do stands in `about`."""

    state: Literal["sound", "look", "wrong"]
    what: str
    about: str


def findings() -> list[Finding]:
    """Look at everything, the ground first; what rests on something wrong is not looked at."""
    from django.conf import settings

    out = [*_folder(settings.DATA)]
    for look in (_reached, _tables, _sound, _locked, _logs, _jobs):
        out += look()
        if out[-1].state == "wrong":
            return out
    return [*out, *_copies(settings.DATA), _compiled()]


def _folder(data: Path) -> Iterable[Finding]:
    free = shutil.disk_usage(data).free
    about = f"{data}, {free // 2**20} MB free"
    yield Finding("sound" if free >= LEAST_FREE_B else "look", "data folder", about)
    if sys.platform != "win32":
        for path in (data, data / "secret-key"):
            if path.stat().st_mode & OTHERS:
                what = "rights of the folder" if path == data else "rights of the key"
                yield Finding("wrong", what, f"others may read {path}; take their rights away: chmod go= {path}")


def _reached() -> Iterable[Finding]:
    from rillbed.web import database

    try:
        database.reach()
    except ValueError as error:
        return [Finding("wrong", "database", str(error))]
    return [Finding("sound", "database", database.place())]


def _tables() -> Iterable[Finding]:
    from rillbed.web import database

    try:
        database.refuse_newer()
    except ValueError as error:
        return [Finding("wrong", "tables", str(error))]
    seen, missing = database.migrations()
    if not seen:
        return [Finding("wrong", "tables", "there are no data yet; rillbed serve makes them")]
    if missing:
        return [Finding("wrong", "tables", f"{len(missing)} changes are missing; rillbed serve brings them up to date")]
    return [Finding("sound", "tables", "as this version has them")]


def _sound() -> Iterable[Finding]:
    from django.db import DatabaseError, connection

    try:
        if connection.vendor == "sqlite":
            with connection.cursor() as cursor:
                cursor.execute("PRAGMA quick_check")
                said = cursor.fetchall()
            if said != [("ok",)]:
                return [Finding("wrong", "file", f"damaged: {said[0][0]}; go back to a copy with rillbed restore")]
        connection.check_constraints()
    except DatabaseError as error:
        return [Finding("wrong", "file", f"{' '.join(str(error).split())}; go back to a copy with rillbed restore")]
    return [Finding("sound", "file", "whole; every reference leads somewhere")]


def _locked() -> Iterable[Finding]:
    from django.db import connection

    from rillbed.web.backup import archive, server

    if connection.vendor == "postgresql":
        gone = server.GUARDS - server.guards()
    else:
        with connection.cursor() as cursor:
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
            gone = archive.GUARDS - {name for (name,) in cursor.fetchall()}
    if gone:
        return [Finding("wrong", "lock of the log", f"trigger {min(gone)} is missing: entries could be changed")]
    return [Finding("sound", "lock of the log", "no entry can be changed or lost")]


def _logs() -> Iterable[Finding]:
    from rillbed.garden.errors import GardenError
    from rillbed.garden.fold import state_at
    from rillbed.web import bridge, clock
    from rillbed.web.log.models import Loop

    entries, out = 0, []
    loops = list(Loop.objects.filter(erasing=False))
    for loop in loops:
        try:
            log = bridge.entries(loop)
            entries += len(log)
            if log:
                system = bridge.first_system(log)
                state_at(system, log, clock.today(system))
        except (GardenError, ValueError) as error:
            out.append(Finding("look", f"loop {loop.pk}", " ".join(str(error).split())))
    return [*out, Finding("sound", "logs", f"{len(loops)} loops, {entries} entries are read")]


def _jobs() -> Iterable[Finding]:
    from rillbed.web.forecasts.models import Job

    failed = Job.objects.filter(state=Job.State.FAILED).count()
    if failed:
        return [Finding("look", "jobs", f"{failed} were given up; the server's log says why")]
    return [Finding("sound", "jobs", f"{Job.objects.filter(state=Job.State.WAITING).count()} wait")]


def _copies(data: Path, now: Callable[[], datetime] = lambda: datetime.now(UTC)) -> Iterable[Finding]:
    from rillbed.web.backup import keep

    copies = keep.kept(data)
    if not copies:
        return [Finding("look", "copies", "there is none; make one with rillbed backup, and keep it elsewhere too")]
    made = max(datetime.fromtimestamp(path.stat().st_mtime, UTC) for path in copies)
    days = (now() - made).days
    about = f"{len(copies)}, the newest {days} days old"
    return [Finding("look" if days > OLD_COPY_DAYS else "sound", "copies", about)]


def _compiled() -> Finding:
    fast = find_spec("numba") is not None
    return Finding("sound", "speed", "compiled" if fast else "plain; the extra rillbed[fast] makes forecasts quicker")
