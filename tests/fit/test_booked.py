"""What is put in at its hour is booked as put in, not as fed."""

from datetime import date, timedelta

import numpy as np

from rillbed.fit import forecast
from rillbed.garden.example import load


def test_a_dose_at_its_hour_is_a_dose():
    system, entries = load(date(2031, 9, 1))
    on = system.started_on + timedelta(days=40)
    run = forecast(system, [e for e in entries if e.kind != "reading"], on=on, horizon_days=1, members=4)
    given = sum(
        e.payload.grams * 0.26185 for e in entries if e.kind == "dosed" and e.payload.substance == "ammonium_chloride"
        and system.day_of(e.at) < on
    )  # fmt: skip
    assert np.allclose(run.booked["n.dose.in"][1], given, rtol=1e-3)
