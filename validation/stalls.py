"""Start-ups that stand still: overdosed, and with alkalinity running out. The cases, and the published marks."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import cache
from uuid import NAMESPACE_OID, uuid5

import numpy as np

from rillbed import engine, facts
from rillbed.garden.log import LogEntry
from rillbed.garden.system import System
from rillbed.plan.stalled import Stalled, stalled
from rillbed.science import nitrifier
from validation import startup
from validation.check import Check

START = startup.START
TEMP_C, MEMBERS, DAYS = 24.0, 200, 100
N_SHARE = 14.007 / 53.49  # of ammonium chloride, by formula
NH3_PER_N, CACO3_MG_MEQ = 17.031 / 14.007, 50.04
TOO_MUCH_MG_L, USUAL_MG_L = 60.0, 2.0
HIGH_PH_MEQ_L = 2.4  # in balance with the air at pH 8.4 to 8.5
SOFT_MEQ_L = 0.6
BASE_DAY = 26
BASE_G = 200.0  # of potassium bicarbonate in the loop's water


def entry(day: int, substance: str, grams: float) -> LogEntry:
    """Give a dose on a day of the loop."""
    at = datetime.combine(START, datetime.min.time(), UTC) + timedelta(days=day, hours=9)
    payload = {"substance": substance, "amount": {"value": round(grams, 3), "unit": "g"}}
    name = uuid5(NAMESPACE_OID, f"{day} {payload}")
    return LogEntry.make({"uuid": name, "at": at, "kind": "dosed", "payload": payload})


def ammonia(system: System, day: int, mg_l: float) -> LogEntry:
    """Give a dose of ammonium chloride, mg/L as N."""
    return entry(day, "ammonium_chloride", mg_l * system.total_volume_m3 / N_SHARE)


def loop(alkalinity_meq_l: float) -> System:
    """Give the loop of the published start-ups at 24 degC in another water."""
    system = startup.loop_of({"temp_c": TEMP_C})
    told = {"alkalinity_meq_l": alkalinity_meq_l, "free_chlorine_mg_l": 0.0, "chloramine_mg_l": 0.0, "p_mg_l": 0.2}
    return system.model_copy(update={"source_water": system.source_water.model_copy(update=told)})


@cache
def overdosed(dose_mg_l: float = TOO_MUCH_MG_L) -> tuple[System, list[LogEntry], engine.Forecast]:
    """Give one dose at pH 8.4 on the first day, base kept and refilled by rule from then on."""
    system = loop(HIGH_PH_MEQ_L)
    log = [ammonia(system, 0, dose_mg_l)]
    future = engine.Future(
        refill_to_mg_l=USUAL_MG_L, full_load_mg_l=USUAL_MG_L, base_floor_meq_l=HIGH_PH_MEQ_L - 0.2,
        base_target_meq_l=HIGH_PH_MEQ_L,
    )  # fmt: skip
    made = engine.forecast(system, log, on=START, horizon_days=DAYS, members=MEMBERS, seed=1, future=future)
    return system, log, made


@cache
def soft(*, base: bool) -> tuple[System, list[LogEntry], engine.Forecast]:
    """Give a start-up in soft water dosed until its alkalinity is gone, with base given on a later day or none."""
    system = loop(SOFT_MEQ_L)
    log = [ammonia(system, day, 3.0) for day in (0, 10, 14, 18)]
    if base:
        log.append(entry(BASE_DAY, "potassium_bicarbonate", BASE_G))
    on = START + timedelta(days=BASE_DAY + 1)
    made = engine.forecast(
        system, log, on=on, horizon_days=40, members=MEMBERS, seed=1, future=engine.Future(),
    )  # fmt: skip
    return system, log, made


def judged(system: System, log: list[LogEntry], made: engine.Forecast, day: int) -> Stalled:
    """Ask why it stands still on a day of the loop, by what was logged until then."""
    on: date = START + timedelta(days=day)
    return stalled(system, [e for e in log if system.day_of(e.at) <= on], made, on)


@dataclass(frozen=True)
class Case:
    """One start-up that stands still: the day it is judged, what is named first, and what the members do.

    Attributes
    ----------
    first, second : str
        What is named as its cause, the likeliest first; "" for none.
    chance : float
        Chance of the first.
    tan_mg_l : three floats
        Ammonia on the day judged and 7 and 30 days later, middle of the members.
    """

    what: str
    day: int
    state: str
    first: str
    second: str
    chance: float
    tan_mg_l: tuple[float, float, float]


def cases() -> list[Case]:
    """Judge each of the cases."""
    of_usual = ("2 mg/L as N at pH 8.4", 5, overdosed(USUAL_MG_L))
    of_much = ("60 mg/L as N at pH 8.4", 5, overdosed())
    dry = ("Alkalinity of 0.6 meq/L used up by four doses of 3 mg/L", BASE_DAY - 1, soft(base=False))
    again = ("The same a day after 1 meq/L and more of base", BASE_DAY + 1, soft(base=True))
    return [_case(*one) for one in (of_usual, of_much, dry, again)]


def _case(what: str, day: int, made: tuple[System, list[LogEntry], engine.Forecast]) -> Case:
    found = judged(*made, day)
    codes = (*(one.code for one in found.causes), "", "")
    tan = np.median(made[2].columns["tan_mg_l"], axis=1)
    seen = (float(tan[day]), float(tan[day + 7]), float(tan[day + 30]))
    return Case(what, day, found.state, codes[0], codes[1], found.causes[0].chance if found.causes else 0.0, seen)


def checks() -> list[Check]:
    """Hold the published marks against what the members take for them."""
    prior = facts.priors()
    normal = np.random.default_rng(1).standard_normal(20001)
    half = prior["ki_nh3"].median * np.exp(prior["ki_nh3"].ln_sd * normal)
    short = prior["alk_half_startup"].median * np.exp(prior["alk_half_startup"].ln_sd * normal)
    about = ("Un-ionised ammonia that halves the nitrite step", "mg/L as N")
    left = ("Share of the rate at 45 mg/L of alkalinity as CaCO3", "%")
    rate = 100 * np.asarray(nitrifier.alkalinity_factor(45 / CACO3_MG_MEQ, short))
    ammonia_note = "published values differ by a factor of 40; the median was chosen between them"
    return [
        Check("F1", *about, (0.1 / NH3_PER_N, 1.0 / NH3_PER_N), half,
              "Anthonisen et al. 1976, J. WPCF 48(5):835 (from memory: 0.1 to 1.0 mg/L as NH3 inhibits)",
              blind=False, note=ammonia_note),
        Check("F2", *about, (0.64, 0.64), half, "Park & Bae 2009, Process Biochem. 44:631",
              blind=False, note=ammonia_note),
        Check("F3", *about, (6.6, 8.9), half, "Mauret et al. 1996 (as a review cites it)",
              blind=False, note=ammonia_note),
        Check("F4", *left, (100, 100), rate,
              "Biesterfeld et al. 2003, Water Environ. Res. 75 (no effect from 45 mg/L up, less from 40 down)",
              blind=False, note="the model has a smooth slope in place of the step, so it slows too early"),
    ]  # fmt: skip
