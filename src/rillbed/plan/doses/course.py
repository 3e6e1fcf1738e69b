"""The course of one base or acid: as much a day as pH and the elements it brings allow, for as long as it takes."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from rillbed import facts, units
from rillbed.plan.advice import Reason
from rillbed.plan.doses import parts
from rillbed.plan.doses.answer import Step
from rillbed.plan.doses.chemistry import PH_CAP, TOLERATED, Effect, allowed, co2_mol_m3, effect, shown
from rillbed.plan.doses.water import Samples, Water
from rillbed.plan.members import quantile
from rillbed.plan.shelf import BASES, Choice
from rillbed.science import dosing

DAYS = int(facts.value("dosing.plan_days"))
# Less than this is nothing a kitchen scale can weigh.
LEAST_G = facts.value("dosing.least_grams")


@dataclass(frozen=True)
class Agent:
    """A base or an acid: its row, its sign, the carbon one equivalent brings, and its largest day, meq/L."""

    choice: Choice
    sign: float
    carbon_per_eq: float
    most_meq_l: float
    strong: bool

    @property
    def eq_per_g(self) -> float:
        """Equivalents in one gram, above zero for bases and acids alike."""
        return abs(self.choice.row.alkalinity_eq_per_g)

    def effect(self, sample: Samples, eq_m3: float) -> Effect:
        """Dose some equivalents into the samples."""
        row = self.choice.row
        p, ca = (eq_m3 / self.eq_per_g * share / 100.0 for share in (row.p_pct, row.ca_pct))
        return effect(sample, self.sign * eq_m3, self.carbon_per_eq * eq_m3, p_mg_l=p, ca_mg_l=ca)

    def bound_eq_m3(self, sample: Samples) -> float:
        """Closed-form bound on one day within the pH cap, but for the tolerated weight."""
        co2 = co2_mol_m3(sample)
        if self.sign > 0.0:
            by_member = dosing.largest_base_eq_m3(sample.alkalinity_meq_l, co2, PH_CAP, BASES[self.choice.id])
        else:
            by_member = dosing.largest_acid_eq_m3(sample.alkalinity_meq_l, co2, PH_CAP)
        return quantile(by_member, sample.weights, TOLERATED)


@dataclass(frozen=True)
class Day:
    """One day's dose and what it did."""

    number: int
    grams: float
    eq_m3: float
    made: Effect
    start: Samples


def base(choice: Choice) -> Agent:
    """Take a base as an agent."""
    form = BASES[choice.id]
    cap = "hydroxide" if form == "hydroxide" else "bicarbonate"
    most = units.convert(facts.value(f"dosing.alkalinity_{cap}"), "ppm_CaCO3", "meq/L")
    return Agent(choice, 1.0, 1.0 - dosing.CO2_BOUND[form], most, form != "bicarbonate")


def acid(choice: Choice) -> Agent:
    """Take a mineral acid as an agent; it may take as much in a day as the gentlest base may bring."""
    most = units.convert(facts.value("dosing.alkalinity_bicarbonate"), "ppm_CaCO3", "meq/L")
    return Agent(choice, -1.0, 0.0, most, True)


def daily(wanted: float, water: Water, sample: Samples, agent: Agent) -> list[Day]:
    """Give a dose a day until enough is given, a cap leaves no room, or the horizon ends."""
    row, out = agent.choice.row, []
    left, now, room = wanted, sample, parts.room_mg_l(water)
    for number in range(DAYS):
        by_elements = parts.largest_by_elements(row, water.volume_m3, room)
        most = min(left, agent.most_meq_l, by_elements * agent.eq_per_g / water.volume_m3)
        eq, made = largest(now, most, agent)
        grams = eq * water.volume_m3 / agent.eq_per_g
        if made is None or grams < LEAST_G:
            break
        out.append(Day(number, grams, eq, made, now))
        left -= eq
        brought = parts.brings(row, grams, water.volume_m3)
        room = {name: have - brought.get(name, 0.0) for name, have in room.items()}
        if left <= 1e-6:
            break
        now = replace(
            now,
            ph=made.settled,
            alkalinity_meq_l=now.alkalinity_meq_l + agent.sign * eq,
            ca_mg_l=now.ca_mg_l + brought.get("ca", 0.0),
            p_mg_l=now.p_mg_l + brought.get("p", 0.0),
        )
    return out


def largest(sample: Samples, most_eq_m3: float, agent: Agent) -> tuple[float, Effect | None]:
    """Most of one day within the pH cap in all but the tolerated weight, eq/m3, and its effect."""
    if most_eq_m3 <= 0.0:
        return 0.0, None
    eq = min(most_eq_m3, agent.bound_eq_m3(sample))
    for _ in range(40):
        made = agent.effect(sample, eq)
        if allowed(sample, made):
            return eq, made
        eq *= 0.93  # the closed form leaves out carbonate, phosphate and ammonia: small corrections
    return 0.0, None


def steps_of(day: Day, water: Water, agent: Agent) -> list[Step]:
    """Spell a day's dose out in parts, each with the pH it makes on top of those before it."""
    choice = agent.choice
    hydroxide = agent.sign > 0.0 and agent.carbon_per_eq == 0.0
    count = int(facts.value("dosing.parts_hydroxide" if hydroxide else "dosing.parts_other"))
    if not agent.strong and day.grams < 2.0 * count:
        count = 1
    whole = Step(
        day.number,
        parts.FIRST_HOUR,
        choice.id,
        day.grams,
        "g",
        parts.dissolve_l(choice.row, day.grams / count, strong=agent.strong) * count,
        adds_mg_l=parts.brings(choice.row, day.grams, water.volume_m3),
        notes=(Reason("doses.reread"),) if day.number else (),
    )
    out = []
    before = quantile(day.made.before, day.start.weights, 0.5)
    for n, step in enumerate(parts.split(whole, count)):
        made = day.made if n == count - 1 else agent.effect(day.start, day.eq_m3 * (n + 1) / count)
        at_once, settled = (shown(day.start, values, made) for values in (made.at_once, made.settled))
        out.append(replace(step, ph_before=before, ph_at_once=at_once, ph_settled=settled))
        before = before if settled is None else settled
    return out


def used_up(given_meq_l: float, sample: Samples) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]] | None:
    """Days until a rise of alkalinity is used up in each member, infinite where it makes no acid; None if unknown."""
    used = sample.used_meq_l_day
    return None if used is None else np.where(used > 1e-6, given_meq_l / np.maximum(used, 1e-6), np.inf)
