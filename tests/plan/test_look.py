"""What the plans look up in a long log that is read once: the same as in a list, whatever the day and the place."""

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from uuid import UUID

import pytest

from rillbed.garden.chains import Told, effective
from rillbed.garden.errors import GardenError
from rillbed.garden.fold import state_at
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.look import until
from rillbed.plan.verdict.evidence import gather

BEGUN = datetime(2026, 3, 1, tzinfo=UTC)
ZONES = ("UTC", "Pacific/Kiritimati", "Pacific/Pago_Pago", "America/St_Johns", "Australia/Lord_Howe")


def entry(n, kind, payload, hours, **more):
    told = {"uuid": UUID(int=n + 1), "at": BEGUN + timedelta(hours=hours), "kind": kind, "payload": payload}
    return LogEntry.make(told | {"author": "k", "recorded_at": BEGUN} | more)


def loop(zone):
    told = {"name": "x", "latitude_deg": 1.0, "place": "indoors", "tanks": [{"name": "t", "volume_l": 500}]}
    return System.make(told | {"started_on": date(2026, 2, 25), "time_zone": zone})


@pytest.fixture(scope="module")
def log():
    """Every five hours a reading or a feeding over two months; some corrected, some taken back."""
    reading = {"quantity": "no3", "low": 10, "high": 20, "unit": "mg/L", "basis": "ion"}
    fed = {"feed": "pellet_32", "amount": {"value": 20, "unit": "g"}}
    out = [entry(n, *(("reading", reading) if n % 2 else ("feeding", fed)), 5 * n) for n in range(290)]
    for n in range(0, 290, 40):
        old = out[n]
        changed = {"kind": "withdrawn", "payload": {"reason": "misread"}} if n % 80 else {
            "kind": "feeding", "payload": fed | {"amount": {"value": 30, "unit": "g"}},
        }  # fmt: skip
        more = {"supersedes": old.uuid, "recorded_at": BEGUN + timedelta(days=70)}
        out.append(entry(1000 + n, changed["kind"], changed["payload"], 5 * n + 3, **more))
    return out


@pytest.mark.parametrize("zone", ZONES)
def test_a_log_up_to_a_day_is_that_of_a_list(log, zone):
    system, told = loop(zone), Told(log)
    counts = effective(log)
    for days in range(-3, 66):
        on = BEGUN.date() + timedelta(days=days)
        wanted = [one for one in counts if system.day_of(one.at) <= on]
        assert list(until(system, told, on)) == list(until(system, log, on)) == wanted
        assert until(system, told, on) is until(system, told, on)
    assert until(system, until(system, told, on), on) is until(system, told, on)
    for earlier in (on, on - timedelta(days=30)):
        assert until(system, until(system, told, on), earlier) == until(system, log, earlier)
        assert gather(system, until(system, told, on), earlier) == gather(system, list(until(system, log, on)), earlier)
        assert state_at(system, until(system, told, on), earlier) == state_at(system, log, earlier)


def test_what_is_seen_now_joins_a_log_in_its_place(log):
    told = Told(log)
    seen = entry(5000, "observation", {"what": "gasping", "text": "all"}, 7.5)
    joined = told.seen([seen])
    assert effective(joined) == effective([*log, seen])
    assert all(one.at <= other.at for one, other in pairwise(joined))
    taken_back = entry(5001, "withdrawn", {"reason": "no"}, 8, supersedes=log[3].uuid)
    assert effective(told.seen([taken_back])) == effective([*log, taken_back])
    with pytest.raises(GardenError, match="occurs twice"):
        told.seen([log[5]])
