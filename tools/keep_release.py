"""Keep the data of a release, so that every later version can be held to reading it: ``python tools/keep_release.py``.

Writes tests/backups/VERSION.zip: a copy of the database of the invented loop, with a correction, something taken back
and an account, and what is in it. Run it once, when the release is tagged, and never again for the same version.
"""

import hashlib
import json
import os
import sqlite3
import sys
import tempfile
import zipfile
from datetime import date
from pathlib import Path
from uuid import UUID, uuid5

DAY = date(2026, 11, 24)
NAMES = UUID("0b9c7a52-6f0e-4c55-9d0a-2f1a7f3c8e11")
FOLDER = Path(__file__).parents[1] / "tests/backups"


def main() -> None:
    """Make the archive."""
    with tempfile.TemporaryDirectory() as data:
        os.environ["RILLBED_DATA"] = data
        from rillbed.web.launch import prepare

        prepare()
        from importlib.metadata import version

        from django.contrib.auth.models import User

        from rillbed.garden.fold import effective
        from rillbed.web import bridge, clock
        from rillbed.web.log.models import Loop
        from rillbed.web.people import seed

        clock.pretend(DAY)
        seed.example(DAY)
        User.objects.create_user("owner", password="a long enough pass phrase")
        loop = Loop.objects.get()
        log = bridge.entries(loop)
        feeding, weighing = (next(e for e in reversed(log) if e.kind == kind) for kind in ("feeding", "fish_weighed"))
        payload = feeding.payload.model_dump(mode="json")
        for entry, kind, told in (
            (feeding, "feeding", payload | {"amount": "50 g"}),
            (weighing, "withdrawn", {"reason": "another tank"}),
        ):
            name = uuid5(NAMES, str(entry.uuid))
            written = bridge.written(
                uuid=name, at=entry.at, author="you", kind=kind, payload=told, supersedes=entry.uuid
            )
            bridge.store(loop, written)
        log = bridge.entries(loop)
        manifest = {
            "version": version("rillbed"),
            "accounts": sorted(User.objects.values_list("username", flat=True)),
            "loops": [{"name": loop.name, "entries": len(log), "count": len(effective(log))}],
        }
        copy = Path(data) / "copy.sqlite3"
        with sqlite3.connect(Path(data) / "rillbed.sqlite3") as database:
            database.execute("VACUUM INTO ?", (str(copy),))
        manifest["sha256"] = hashlib.sha256(copy.read_bytes()).hexdigest()
        target = FOLDER / f"{manifest['version']}.zip"
        if target.exists():
            sys.exit(f"{target.name} is kept already")
        FOLDER.mkdir(exist_ok=True)
        with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
            archive.write(copy, "rillbed.sqlite3")
            archive.writestr("manifest.json", json.dumps(manifest, indent=1))
        print(f"{target.name}: {target.stat().st_size // 1024} kB")


if __name__ == "__main__":
    main()
