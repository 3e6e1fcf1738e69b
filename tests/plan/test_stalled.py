"""A start-up that stands still names what holds it up, and the one reading that tells."""

from dataclasses import replace
from datetime import timedelta
from uuid import NAMESPACE_OID, uuid5

import numpy as np

from rillbed import words
from rillbed.garden.log import LogEntry
from rillbed.plan.advice import Reason
from rillbed.plan.stalled import stalled

ONES = np.ones(100)
PARAMS = {"theta_a": 1.1 * ONES, "theta_n": 1.063 * ONES, "alk_half_startup": 0.3 * ONES, "ki_nh3": 3.0 * ONES}


def dosed(day):
    payload = {"substance": "ammonium_chloride", "amount": {"value": 9, "unit": "g"}}
    at = f"{day.isoformat()}T08:00:00Z"
    return LogEntry.make(
        {"uuid": "22222222-2222-4222-8222-222222222222", "at": at, "kind": "dosed", "payload": payload}
    )


def asked(system, made, on, **columns):
    run = replace(made(**({"cap_a_g_m3_day": 0.1, "cap_n_g_m3_day": 0.1} | columns)), params=PARAMS)
    return stalled(system, [dosed(on - timedelta(days=10))], run, on)


def test_bacteria_that_grow_are_left_alone(system, made, on):
    grow = np.exp(0.2 * np.arange(201)) * 0.01
    assert asked(system, made, on, cap_a_g_m3_day=grow, cap_n_g_m3_day=grow).state == "moving"


def told_of_phosphorus(system):
    source = system.source_water.model_copy(update={"p_mg_l": 0.01})
    return system.model_copy(update={"source_water": source})


def test_phosphorus_that_nobody_read_is_never_a_sure_cause(system, made, on):
    found = asked(system, made, on, p_mg_l=0.01)
    cause = next(one for one in found.causes if one.code == "phosphorus")
    assert cause.chance < 0.5
    assert "neither" in words.reason(cause.why)
    sure = asked(told_of_phosphorus(system), made, on, p_mg_l=0.01)
    assert sure.causes[0].chance == 1.0
    assert "0.01" in words.reason(sure.causes[0].why)
    payload = {"quantity": "p", "unit": "mg/L", "value": 0.01}
    at = f"{on.isoformat()}T07:00:00Z"
    read = LogEntry.make({"uuid": uuid5(NAMESPACE_OID, at), "at": at, "kind": "reading", "payload": payload})
    run = replace(made(cap_a_g_m3_day=0.1, cap_n_g_m3_day=0.1, p_mg_l=0.01), params=PARAMS)
    assert stalled(system, [dosed(on - timedelta(days=10)), read], run, on).causes[0].chance == 1.0


def test_the_likeliest_cause_comes_first(system, made, on):
    for columns, cause in (
        ({"temp_c": 9.0}, "temperature"),
        ({"alkalinity_meq_l": 0.05}, "alkalinity"),
        ({"p_mg_l": 0.01}, "phosphorus"),
        ({"nh3_mg_l": 20.0}, "overdose"),
    ):
        found = asked(told_of_phosphorus(system), made, on, **columns)
        assert found.state == "slow"
        assert found.causes[0].code == cause
        assert found.causes[0].chance == 1.0
        assert found.read


def chlorine(on, low, high, **where):
    payload = {"quantity": "chlorine", "unit": "mg/L", "low": low, "high": high} | where
    at = f"{on.isoformat()}T09:00:00Z"
    return LogEntry.make(
        {"uuid": uuid5(NAMESPACE_OID, f"{at}{payload}"), "at": at, "kind": "reading", "payload": payload}
    )


def test_chlorine_read_in_the_loop_is_named_first_even_while_members_grow(system, made, on):
    grow = np.exp(0.2 * np.arange(201)) * 0.01
    run = replace(made(cap_a_g_m3_day=grow, cap_n_g_m3_day=grow), params=PARAMS)
    log = [dosed(on - timedelta(days=10)), chlorine(on - timedelta(days=3), 0.15, 0.35)]
    found = stalled(system, log, run, on)
    assert found.state == "poisoned"
    assert [one.code for one in found.causes] == ["chlorine"]
    assert found.causes[0].chance > 0.9
    assert found.causes[0].why.values["low"] == 0.15
    assert "0.15" in words.reason(found.causes[0].why)
    assert words.reason(Reason("stall.poisoned"))
    # long ago, gone since, or nothing found: no poison
    for other in (
        [chlorine(on - timedelta(days=15), 0.15, 0.35)],
        [log[1], chlorine(on, None, 0.05)],
        [chlorine(on, 0.0, 0.05)],
    ):
        assert stalled(system, [log[0], *other], run, on).state == "moving"


def test_chlorine_read_in_the_source_water_counts_where_untreated_water_came_in(system, made, on):
    still = replace(made(cap_a_g_m3_day=0.1, cap_n_g_m3_day=0.1), params=PARAMS)
    told = {"free_chlorine_mg_l": 0.0, "chloramine_mg_l": 0.0}
    clean = system.model_copy(update={"source_water": system.source_water.model_copy(update=told)})
    at = f"{(on - timedelta(days=2)).isoformat()}T10:00:00Z"
    payload = {"volume": "100 L", "treated": False}
    top_up = LogEntry.make({"uuid": uuid5(NAMESPACE_OID, at), "at": at, "kind": "topped_up", "payload": payload})
    log = [dosed(on - timedelta(days=10)), top_up]

    def chance(*more):
        return {one.code: one.chance for one in stalled(clean, [*log, *more], still, on).causes}.get("chlorine", 0.0)

    assert chance() == 0.0
    assert chance(chlorine(on, 0.4, 0.7, source_water=True)) > 0.5
    assert chance(chlorine(on, None, 0.01, source_water=True)) == 0.0
