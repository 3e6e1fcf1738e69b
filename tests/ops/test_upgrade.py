"""Every release ever tagged left a copy of its data; this version must read each, and lose nothing."""

import hashlib
import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

KEPT = sorted((Path(__file__).parents[1] / "backups").glob("*.zip"))
READ = """
import json
from rillbed.web.launch import prepare
prepare()
from django.contrib.auth.models import User
from rillbed.garden.fold import effective
from rillbed.web import bridge
from rillbed.web.frame.loops import loops_of
from rillbed.web.log.models import LogRow, Loop

def holds(now, then):
    if isinstance(then, dict):
        return all(key in now and holds(now[key], value) for key, value in then.items())
    if isinstance(then, list):
        return len(now) == len(then) and all(map(holds, now, then))
    return now == then

found = []
for loop in Loop.objects.all():
    log = bridge.entries(loop)
    kept = effective(log)
    bridge.standing_system(loop)
    found.append({"name": loop.name, "entries": len(log), "count": len(kept)})
    for row in LogRow.objects.filter(loop=loop):
        assert holds(bridge.entry(row).payload.model_dump(mode="json"), row.payload), row.payload
people = sorted(User.objects.values_list("username", flat=True))
print(json.dumps({"loops": found, "accounts": people, "sees": len(loops_of(User.objects.get(username="you")))}))
"""


def test_the_first_release_is_kept():
    assert "0.1.0.zip" in [path.name for path in KEPT]


@pytest.mark.parametrize("kept", KEPT, ids=[path.stem for path in KEPT])
def test_the_data_of_a_release_is_read_whole(kept, tmp_path):
    with zipfile.ZipFile(kept) as archive:
        manifest = json.loads(archive.read("manifest.json"))
        data = archive.read("rillbed.sqlite3")
    assert hashlib.sha256(data).hexdigest() == manifest["sha256"]
    (tmp_path / "rillbed.sqlite3").write_bytes(data)
    done = subprocess.run(
        [sys.executable, "-c", READ], env=os.environ | {"RILLBED_DATA": str(tmp_path)}, check=True, capture_output=True
    )
    read = json.loads(done.stdout.decode().splitlines()[-1])
    assert read["loops"] == manifest["loops"]
    assert read["accounts"] == manifest["accounts"]
    assert read["sees"] == 1
