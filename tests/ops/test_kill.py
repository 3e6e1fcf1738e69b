"""What the server said it saved is there after any kill -9, and what it did not say may be sent again without harm.

``RILLBED_KILL_POSTS=1000 RILLBED_KILLS=20`` makes it longer; the moments come from a seed that is printed.
"""

import http.client
import json
import os
import random
import subprocess
import sys
import threading
import time
from urllib.parse import urlencode
from uuid import uuid4

import pytest
from tests import postgres

POSTS = int(os.environ.get("RILLBED_KILL_POSTS", "200"))
KILLS = int(os.environ.get("RILLBED_KILLS", "3"))
SENDERS = 4
COOKIE = "c" * 32
AT = "2026-01-20T08:15"  # the form holds the time it was opened at, so a second sending says the same
SEED = """
from rillbed.web.launch import prepare
prepare()
from datetime import date
from importlib import import_module
from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.auth.models import User
from rillbed.web import bridge
from rillbed.web.frame.loops import keep
from rillbed.web.log.models import Loop
from datetime import datetime, UTC
from uuid import uuid4
from rillbed.garden.log import LogEntry
system = {"name": "Made-up loop", "latitude_deg": -34.0, "place": "greenhouse", "started_on": "2026-01-10",
          "tanks": [{"name": "tank", "volume_l": 900}],
          "beds": [{"name": "bed", "kind": "raft", "area_m2": 2.0, "water_depth_cm": 5}]}
loop = Loop.objects.create(name="Made-up loop")
person = User.objects.create_user("keeper")
keep(loop, person)
at = datetime(2026, 1, 10, tzinfo=UTC)
bridge.add(loop, LogEntry.make({"uuid": uuid4(), "at": at, "kind": "set_up", "payload": {"system": system}}))
session = import_module(settings.SESSION_ENGINE).SessionStore()
session[SESSION_KEY], session[HASH_SESSION_KEY] = str(person.pk), person.get_session_auth_hash()
session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
session.save()
print(session.session_key)
"""
SERVE = """
from rillbed.web.launch import prepare, run
run(prepare(), "127.0.0.1", 0, lambda address: print(address, flush=True))
"""
READ = """
import json
from rillbed.web.launch import prepare
prepare()
from django.db import connection
from rillbed.web import bridge
from rillbed.web.log.models import Loop
with connection.cursor() as cursor:
    # A server looks after its own files; what can be asked is that every reference leads somewhere.
    cursor.execute("PRAGMA integrity_check" if connection.vendor == "sqlite" else "SET CONSTRAINTS ALL IMMEDIATE")
    whole = cursor.fetchall() if connection.vendor == "sqlite" else [["ok"]]
connection.check_constraints()
notes = [entry for entry in bridge.entries(Loop.objects.get()) if entry.kind == "note"]
print(json.dumps({"whole": whole, "notes": {str(one.uuid): one.payload.text for one in notes}, "rows": len(notes)}))
"""


def python(code: str, env) -> str:
    """Run code on an installation and return the last line it printed."""
    done = subprocess.run([sys.executable, "-c", code], env=env, check=True, capture_output=True)
    return done.stdout.decode().splitlines()[-1]


class Server:
    """A server in a process of its own, killed without warning and started again."""

    def __init__(self, env) -> None:
        self.env, self.port = env, 0
        self.start()

    def start(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", SERVE],
            env=self.env,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        assert self.process.stdout is not None
        self.port = int(self.process.stdout.readline().decode().strip().rpartition(":")[2])

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()
        assert self.process.stdout is not None
        self.process.stdout.close()


def send(port: int, session: str, uuid: str, text: str) -> bool:
    """Send a note; return whether the server said that it is saved."""
    link = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    try:
        link.request(
            "POST",
            "/log/add/note",
            urlencode({"uuid": uuid, "at": AT, "text": text, "csrfmiddlewaretoken": COOKIE}),
            {
                "Content-Type": "application/x-www-form-urlencoded",
                "Cookie": f"sessionid={session}; csrftoken={COOKIE}",
            },
        )
        answer = link.getresponse()
        body = answer.read().decode()
    except (OSError, http.client.HTTPException):
        return False
    finally:
        link.close()
    assert answer.status == 302, f"{answer.status} for a good note: {body[-4000:]}"
    assert answer.headers["Location"] == "/log"
    return True


@pytest.mark.skipif(sys.platform == "win32", reason="kill -9 is a thing of POSIX")
@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_nothing_acknowledged_is_lost(tmp_path, database):
    env = {key: value for key, value in os.environ.items() if key != "RILLBED_DATABASE_URL"}
    env |= {"RILLBED_DATA": str(tmp_path)}
    if database == "postgresql":
        env |= {"RILLBED_DATABASE_URL": postgres.new_database()}
    seed = random.randrange(10**6)
    print("seed of the moments:", seed)
    chance = random.Random(seed)
    session = python(SEED, env)
    server = Server(env)
    waiting = [(str(uuid4()), f"note {number}") for number in range(POSTS)]
    sent, said, failed = dict(waiting), set(), []
    faults: list[BaseException] = []
    guard = threading.Lock()

    def sender() -> None:
        try:
            while not faults:
                with guard:
                    if len(said) == POSTS:
                        return
                    note = waiting.pop() if waiting else None
                if note is None:
                    time.sleep(0.01)
                elif send(server.port, session, *note):
                    with guard:
                        said.add(note[0])
                else:
                    with guard:
                        failed.append(note[0])
                        waiting.insert(0, note)  # as a phone does: again, later, under the same name
                    time.sleep(0.05)
        except BaseException as error:
            faults.append(error)

    threads = [threading.Thread(target=sender) for _ in range(SENDERS)]
    for one in threads:
        one.start()
    try:
        for number in range(1, KILLS + 1):
            # Somewhere within the next share of the posts, at a moment nobody chose.
            while len(said) < (number - 1) * POSTS // (KILLS + 1) and not faults:
                time.sleep(0.005)
            time.sleep(chance.uniform(0.0, 0.3))
            server.kill()
            there = json.loads(python(READ, env))
            assert there["whole"] == [["ok"]]
            with guard:
                assert said <= there["notes"].keys()
            server.start()
        for one in threads:
            one.join(120)
        assert not any(one.is_alive() for one in threads), "the senders did not come to an end"
    except BaseException as error:
        faults.append(error)  # ends the senders, too
    finally:
        server.kill()
    assert not faults, faults
    there = json.loads(python(READ, env))
    assert there["whole"] == [["ok"]]
    assert there["notes"] == sent
    assert there["rows"] == POSTS, "an entry that was sent twice is there twice"
    assert failed, "no kill fell into a sending: the test proved nothing"
