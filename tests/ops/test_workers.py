"""Three workers, one killed, one frozen until its job is taken over: no job is lost, and none is finished twice."""

import json
import os
import signal
import subprocess
import sys
import time

import pytest
from tests import postgres

JOBS = 30
MAKE = """
from datetime import UTC, datetime
from uuid import uuid4
from rillbed.web.launch import prepare
prepare()
from django.db import connection
from rillbed.garden.log import LogEntry
from rillbed.web import bridge
from rillbed.web.forecasts import jobs
from rillbed.web.log.models import Loop
system = {"name": "Made-up loop", "latitude_deg": -34.0, "place": "greenhouse", "started_on": "2026-01-10",
          "tanks": [{"name": "tank", "volume_l": 900}],
          "beds": [{"name": "bed", "kind": "raft", "area_m2": 2.0, "water_depth_cm": 5}]}
for number in range(%d):
    loop = Loop.objects.create(name=f"Loop {number}")
    at = datetime(2026, 1, 10, tzinfo=UTC)
    bridge.add(loop, LogEntry.make({"uuid": uuid4(), "at": at, "kind": "set_up", "payload": {"system": system}}))
    if %r:
        jobs.ask(loop, "made-up", f"state {number}", number %% 3)
with connection.cursor() as cursor:
    # Nothing here keeps a job from being written down twice but the way in which jobs are ended.
    cursor.execute("CREATE TABLE finished (loop bigint, worker text)")
"""
WORK = """
import sys, time
from rillbed.web import launch
launch.load()
from rillbed.web.work import work
from rillbed.web.forecasts import jobs, worker
jobs.LEASE_S, worker.BEAT_S = 2.0, 0.5

def run(loop, on):
    from django.db import connection
    time.sleep(0.12)
    with jobs.storing(), connection.cursor() as cursor:
        cursor.execute("INSERT INTO finished VALUES (%s, %s)", [loop.pk, worker.name])
        time.sleep(0.03)  # a kill in the midst of storing stores nothing

made_up = (worker.Kind("made-up", 1, lambda loop, on: "", run, lambda loop, on: None),)
worker.LANES, worker.LOOK_S = (made_up,), 1.0
work()
"""


def start(code: str, env: dict[str, str]) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "-c", code],
        env=env,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.fixture
def place(tmp_path):
    """Environment of a fresh database, and a link to it."""
    import psycopg

    address = postgres.new_database()
    env = os.environ | {"RILLBED_DATA": str(tmp_path), "RILLBED_DATABASE_URL": address}
    link = psycopg.connect(address, autocommit=True)
    yield env, link
    link.close()


def until(true, seconds: float, why: str):
    end = time.monotonic() + seconds
    while not (found := true()):
        assert time.monotonic() < end, why
        time.sleep(0.02)
    return found


def test_no_job_is_lost_and_none_finished_twice(place):
    env, link = place
    subprocess.run([sys.executable, "-c", MAKE % (JOBS, True)], env=env, check=True, capture_output=True)
    workers = [start(WORK, env) for _ in range(3)]
    by_pid = {one.pid: one for one in workers}
    others = set(by_pid)

    def holder() -> int | None:
        held = link.execute("SELECT worker FROM forecasts_job WHERE state = 'taken' ORDER BY id").fetchall()
        pids = [int(name.rpartition(":")[2]) for (name,) in held]
        return next((pid for pid in pids if pid in others), None)

    try:
        done = "SELECT count(*) FROM finished"
        until(lambda: link.execute(done).fetchone()[0] >= 6, 40, "the workers do not begin")
        killed = until(holder, 10, "no worker holds a job")
        os.kill(killed, signal.SIGKILL)
        others.discard(killed)
        frozen = until(holder, 10, "no other worker holds a job")
        os.kill(frozen, signal.SIGSTOP)  # away for longer than its lease, and then back as if nothing had been
        others.discard(frozen)
        orphans = [
            pk
            for pk, name in link.execute("SELECT id, worker FROM forecasts_job WHERE state = 'taken'").fetchall()
            if int(name.rpartition(":")[2]) in (killed, frozen)
        ]
        assert orphans, "the kill and the stop fell between two jobs: the test proved nothing"
        left = "SELECT count(*) FROM forecasts_job WHERE state <> 'done'"
        until(lambda: link.execute(left).fetchone()[0] == 0, 60, "jobs are left")
        os.kill(frozen, signal.SIGCONT)
        time.sleep(1.0)  # it wakes within its job, and must not store it
        finished = link.execute("SELECT loop, count(*) FROM finished GROUP BY loop").fetchall()
        assert len(finished) == JOBS
        assert {count for _, count in finished} == {1}
        heirs = link.execute("SELECT DISTINCT worker FROM forecasts_job WHERE id = ANY(%s)", [orphans]).fetchall()
        assert {int(name.rpartition(":")[2]) for (name,) in heirs} == others
        for pid in {frozen, *others}:
            by_pid[pid].send_signal(signal.SIGTERM)
        for pid in {frozen, *others}:
            out, err = by_pid[pid].communicate(timeout=20)
            assert by_pid[pid].returncode == 0, err
            assert "Stopping" in out
            assert "Traceback" not in err
        assert not link.execute("SELECT name FROM forecasts_worker WHERE name NOT LIKE %s", [f"%:{killed}"]).fetchall()
    finally:
        for one in workers:
            one.kill()
            one.communicate()


def test_the_verb_works_forecasts_out_and_stops_when_asked(place):
    env, link = place
    subprocess.run([sys.executable, "-c", MAKE % (1, False)], env=env, check=True, capture_output=True)
    worker = subprocess.Popen(
        [sys.executable, "-m", "rillbed", "work"], env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    try:
        done = "SELECT count(*) FROM forecasts_storedforecast"
        until(lambda: link.execute(done).fetchone()[0] >= 1, 60, "no forecast was worked out")
        worker.send_signal(signal.SIGTERM)
        out, err = worker.communicate(timeout=30)
    finally:
        worker.kill()
        worker.communicate()
    assert worker.returncode == 0, err
    assert "Stop with Ctrl-C" in out
    # What it had not finished waits for another; nothing is held by one that is gone.
    states = json.dumps(link.execute("SELECT kind, state FROM forecasts_job").fetchall())
    assert "taken" not in states
    assert link.execute("SELECT count(*) FROM forecasts_worker").fetchone() == (0,)


def test_with_one_file_the_verb_says_who_works(tmp_path):
    env = {key: value for key, value in os.environ.items() if key != "RILLBED_DATABASE_URL"}
    done = subprocess.run(
        [sys.executable, "-m", "rillbed", "work"],
        env=env | {"RILLBED_DATA": str(tmp_path)},
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 2
    (line,) = done.stderr.splitlines()
    assert "serve works for it already" in line
    assert "RILLBED_DATABASE_URL" in line
