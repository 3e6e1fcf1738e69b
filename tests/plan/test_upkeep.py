"""Upkeep: windows from the table, from the loop's own gaps, and what a loop has at all."""

from datetime import UTC, date, datetime, time, timedelta
from uuid import NAMESPACE_URL, uuid5

import pytest

from rillbed import facts
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.upkeep import upkeep

START = date(2031, 3, 1)
FEED = next(iter(facts.feeds()))


def system(**more) -> System:
    return System.make(
        {
            "name": "Made-up loop", "latitude_deg": -34.0, "place": "greenhouse", "started_on": START,
            "startup_path": "running", "tanks": [{"name": "tank", "volume_l": 900}],
            "beds": [{"name": "gravel", "kind": "media", "area_m2": 2.0}],
        }
        | more
    )  # fmt: skip


def entry(on: date, kind: str, payload: dict) -> LogEntry:
    at = datetime.combine(on, time(8), UTC)
    return LogEntry.make(
        {"uuid": uuid5(NAMESPACE_URL, f"{on} {kind} {payload}"), "at": at, "kind": kind, "payload": payload}
    )


def fish(on: date = START) -> LogEntry:
    return entry(
        on, "fish_in", {"group": "g", "species": "nile_tilapia", "count": 20, "weight": {"value": 50, "unit": "g"}}
    )


def done(job: str, *days: int) -> list[LogEntry]:
    return [entry(START + timedelta(days=d), "upkeep", {"job": job}) for d in days]


def job(calendar, name):
    return next((j for j in calendar.jobs if j.job == name), None)


def names(*args, **more) -> set[str]:
    return {j.job for j in upkeep(system(**more), list(args), START + timedelta(days=30)).jobs}


def test_a_loop_gets_only_jobs_it_has():
    assert "check_siphon" in names()
    assert not {"look_fish", "wash_screen", "battery_test", "drain_solids", "check_heater", "calibrate_meter"} & names()
    raft = [{"name": "raft", "kind": "raft", "area_m2": 2.0}]
    assert {"look_fish", "wash_screen", "drain_solids"} <= names(fish(), beds=raft)
    assert "check_siphon" not in names(fish(), beds=raft)
    assert "check_heater" in names(heater_set_c=24.0)


def test_nothing_known_is_due_within_its_own_time():
    on = START + timedelta(days=30)
    found = job(upkeep(system(), [], on), "clean_pump")
    assert found.last is None
    assert (found.first, found.latest) == (on, on + timedelta(days=60))
    assert found.why[0].code == "upkeep.never"


def test_the_table_counts_from_the_last_time():
    row = facts.upkeep()["clean_pump"]
    found = job(upkeep(system(), done("clean_pump", 5, 40), START + timedelta(days=50)), "clean_pump")
    assert found.last == START + timedelta(days=40)
    assert found.first == found.last + timedelta(days=round(row.days_low))
    assert found.latest == found.last + timedelta(days=round(row.days_high))


def test_four_gaps_of_its_own_say_more_than_the_table():
    found = job(upkeep(system(), done("clear_roots", 0, 20, 42, 61, 82), START + timedelta(days=90)), "clear_roots")
    assert found.why[0].code == "upkeep.own_days"
    assert found.first == START + timedelta(days=82 + 19)
    assert found.latest == START + timedelta(days=82 + 22)


def test_a_job_that_follows_feed_comes_sooner_when_more_is_fed():
    log = [fish()]
    for day in range(60):
        grams = 40 if day < 40 else 80
        log.append(
            entry(
                START + timedelta(days=day),
                "feeding",
                {"amount": {"value": grams, "unit": "g"}, "feed": next(iter(facts.feeds()))},
            )
        )
    log += done("wash_screen", 5, 15, 25, 35, 45)
    found = job(upkeep(system(), log, START + timedelta(days=59)), "wash_screen")
    assert found.why[0].code == "upkeep.own_feed"
    # 400 g to 600 g a gap, by hand; at 80 g a day that is 5 days and a bit
    assert found.first == START + timedelta(days=45 + 5)
    assert found.first <= START + timedelta(days=59)  # overdue now
    assert found.why[1].code == "upkeep.fed"
    assert found.why[1].values["grams"] == pytest.approx(14 * 80.0)


def test_a_bed_that_was_cleaned_counts():
    log = [entry(START + timedelta(days=9), "cleaned", {"what": "gravel", "fraction": 0.5})]
    assert job(upkeep(system(), log, START + timedelta(days=20)), "clean_bed").last == START + timedelta(days=9)


def test_a_job_that_is_taken_back_or_lies_ahead_does_not_count():
    later = done("clean_pump", 40)
    assert job(upkeep(system(), later, START + timedelta(days=30)), "clean_pump").last is None


def test_parts_age():
    log = done("new_pump", 1)
    parts = {p.job: p for p in upkeep(system(), log, START + timedelta(days=30)).parts}
    assert parts["new_pump"].state(START + timedelta(days=30)) == "good"
    assert parts["new_pump"].state(START + timedelta(days=1000)) == "ageing"
    assert parts["new_pump"].state(START + timedelta(days=3000)) == "old"
    assert parts["air_membranes"].state(START) == "unknown"


def test_every_job_takes_time_and_has_an_order():
    for row in facts.upkeep().values():
        assert 0.0 < row.days_low <= row.days_high
        assert row.minutes > 0.0


def away(first: date, last: date, share: float = 0.5, name: str = "Winter break") -> LogEntry:
    told = {"name": name, "first": first, "last": last, "feed_share": share, "by": "Ann"}
    return entry(START, "away", told)


def clean(on: date, *spells: LogEntry, last: int = 0):
    """Give the bed that was cleaned `last` days after the start, and is due 300 to 550 days later."""
    return job(upkeep(system(), [*done("clean_bed", last), *spells], on), "clean_bed")


def test_no_bed_is_cleaned_in_the_week_before_days_away_in_them_or_until_bacteria_are_back():
    first, latest = START + timedelta(days=300), START + timedelta(days=550)
    on = first - timedelta(days=20)
    before = int(facts.value("plan.away_clean_days"))
    back = int(facts.value("plan.away_return_days"))
    assert (clean(on).first, clean(on).latest) == (first, latest)

    def spell(begin: int, days: int, share: float = 0.5) -> LogEntry:
        return away(first + timedelta(days=begin), first + timedelta(days=begin + days - 1), share)

    # Over the first day: it begins when bacteria are back.
    found = clean(on, spell(5, 10))
    assert (found.first, found.latest) == (first + timedelta(days=15 + back), latest)
    assert found.why[-1].code == "upkeep.away_after"
    # Fed in full there is nothing to come back.
    assert clean(on, spell(5, 10, 1.0)).first == first + timedelta(days=15)
    # Over the last day: it ends before.
    found = clean(on, spell(245, 10))
    assert (found.first, found.latest) == (first, first + timedelta(days=245 - before - 1))
    assert found.why[-1].code == "upkeep.away_before"
    # In the middle: the days stay, and those between are told.
    found = clean(on, spell(100, 10))
    assert (found.first, found.latest) == (first, latest)
    assert found.why[-1].code == "upkeep.away_between"
    assert found.why[-1].values["first"] == (first + timedelta(days=100 - before)).isoformat()
    assert found.why[-1].values["last"] == (first + timedelta(days=109 + back)).isoformat()
    # Other jobs stay where they are.
    pump = [*done("clean_pump", 250), spell(-10, 30)]
    assert job(upkeep(system(), pump, on), "clean_pump").why[-1].code == "upkeep.usual"


def test_a_clean_with_no_day_left_goes_before_or_else_after():
    due = START + timedelta(days=550)
    spells = [away(due - timedelta(days=130), due - timedelta(days=100)), away(due - timedelta(days=90), due)]
    on = START + timedelta(days=299)
    # Both spells touch with their weeks before and after, so the last open days are those before the first.
    found = clean(on, *spells)
    assert found.latest == spells[0].payload.first - timedelta(days=8)
    assert found.first == START + timedelta(days=300)
    # Overdue in the days before a spell: after it, whole weeks of it open.
    late = due + timedelta(days=3)
    found = clean(late, away(late + timedelta(days=2), late + timedelta(days=6), 1.0))
    assert (found.first, found.latest) == (late + timedelta(days=7), late + timedelta(days=13))
    assert found.why[-1].code == "upkeep.away_after"
    assert not found.due(late)
    # The open days between two spells are few: no more than those.
    found = clean(
        late,
        away(late + timedelta(days=2), late + timedelta(days=6), 1.0),
        away(late + timedelta(days=17), late + timedelta(days=20), 1.0, "Trip"),
    )
    assert (found.first, found.latest) == (late + timedelta(days=7), late + timedelta(days=9))


def test_a_clean_due_only_in_days_away_is_done_before_them_if_there_is_time():
    log = done("clean_bed", 0, 300, 600, 900, 1200)  # its own gaps: due on day 1500, no day else
    first = START + timedelta(days=1495)
    spell = away(first, first + timedelta(days=9))
    on = START + timedelta(days=1400)
    found = job(upkeep(system(), [*log, spell], on), "clean_bed")
    assert (found.first, found.latest) == (first - timedelta(days=14), first - timedelta(days=8))
    assert found.why[-1].code == "upkeep.away_before"
    assert found.why[-1].values["name"] == "Winter break"
