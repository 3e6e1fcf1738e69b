"""A start-up that stands still names what holds it up, and the one reading that tells."""

from dataclasses import replace
from datetime import timedelta

import numpy as np

from rillbed.garden.log import LogEntry
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


def test_the_likeliest_cause_comes_first(system, made, on):
    for columns, cause in (
        ({"temp_c": 9.0}, "temperature"),
        ({"alkalinity_meq_l": 0.05}, "alkalinity"),
        ({"p_mg_l": 0.01}, "phosphorus"),
        ({"nh3_mg_l": 20.0}, "overdose"),
    ):
        found = asked(system, made, on, **columns)
        assert found.state == "slow"
        assert found.causes[0].code == cause
        assert found.causes[0].chance == 1.0
        assert found.read
