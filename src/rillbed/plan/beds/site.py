"""Where a crop can stand and when: bed, warmth, frost, light and length of day, each refusal with its numbers."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from rillbed import facts
from rillbed.engine.calendar import monthly
from rillbed.engine.climate import air_c, climate_of, town_of
from rillbed.facts.living import Crop
from rillbed.garden.system import Bed, System
from rillbed.plan.advice import Reason, Values
from rillbed.science.light import day_length_h

COLUMNS = {"media": "media_bed", "raft": "raft_dwc", "nft": "nft"}
BOLT = frozenset({"spinach", "coriander"})
WEEK = 7


def suits(crop: Crop, kind: str) -> str:
    """How a kind of bed suits a crop: good, possible or no.

    Raises
    ------
    KeyError
        For an unknown kind of bed.
    """
    return str(getattr(crop, COLUMNS[kind]))


def grows_in(crop: Crop, kinds: Iterable[str]) -> bool:
    """Whether a crop can stand in one of these kinds of bed; without any bed nothing is held against it."""
    named = tuple(kinds)
    return not named or any(suits(crop, kind) != "no" for kind in named)


def bed_refusal(crop: Crop, bed: Bed) -> Reason | None:
    """Why a crop cannot stand in a bed, None where it can."""
    if suits(crop, bed.kind) == "no":
        return Reason("beds.kind", {"crop": crop.id, "bed": bed.name, "kind": bed.kind})
    if bed.headroom_cm is not None and crop.height_cm > bed.headroom_cm:
        room = {"height_cm": crop.height_cm, "headroom_cm": bed.headroom_cm}
        return Reason("beds.height", {"crop": crop.id, "bed": bed.name, **room})
    if bed.shades and crop.height_cm >= facts.value("beds.tall_cm"):
        shaded: Values = {"bed": bed.name, "height_cm": crop.height_cm, "others": bed.shades}
        return Reason("beds.shades", {"crop": crop.id, **shaded})
    return None


class Seasons:
    """The year of a place, by its normals: whether a crop can be set out on a day and stand its time."""

    def __init__(self, system: System) -> None:
        self.system, self.climate = system, climate_of(system)
        self._nights = None if system.place == "indoors" else _nights_c(system)
        self._asked: dict[tuple[str, date, int], Reason | None] = {}

    def refusal(self, crop: Crop, on: date, days: int) -> Reason | None:
        """Why a crop cannot be set out on a day and stand for so long, None where it can."""
        key = (crop.id, on, days)
        if key not in self._asked:
            self._asked[key] = self._judge(crop, on, days)
        return self._asked[key]

    def _judge(self, crop: Crop, on: date, days: int) -> Reason | None:
        air = monthly(self.climate.air_c, on)
        if not crop.sow_air_t_low_c <= air <= crop.sow_air_t_high_c:
            ends = {"low": crop.sow_air_t_low_c, "high": crop.sow_air_t_high_c}
            return Reason("beds.sow_air", {"crop": crop.id, "on": on.isoformat(), "air_c": air, **ends})
        for day in range(0, days, WEEK):
            no = self._week(crop, on + timedelta(days=day))
            if no is not None:
                return no
        return None

    def _week(self, crop: Crop, when: date) -> Reason | None:
        air, night = monthly(self.climate.air_c, when), self.coldest_c(when)
        if not crop.air_t_min_c <= air <= crop.air_t_max_c:
            bears = {"low": crop.air_t_min_c, "high": crop.air_t_max_c}
            return Reason("beds.air", {"crop": crop.id, "on": when.isoformat(), "air_c": air, **bears})
        if night is not None and night <= crop.frost_kill_c:
            cold = {"night_c": night, "kill_c": crop.frost_kill_c}
            return Reason("beds.frost", {"crop": crop.id, "on": when.isoformat(), **cold})
        hours = float(day_length_h(self.system.latitude_deg, when.timetuple().tm_yday)) if crop.id in BOLT else 0.0
        if self.system.place != "indoors" and hours > facts.value("beds.bolts_from_h"):
            return Reason("beds.bolts", {"crop": crop.id, "on": when.isoformat(), "hours": hours})
        return None

    def coldest_c(self, on: date) -> float | None:
        """Air of the coldest nights around a day, degC; None under a roof with people in it."""
        return None if self._nights is None else monthly(self._nights, on)


def _nights_c(system: System) -> tuple[float, ...]:
    months = town_of(system).months
    # What a cover adds to the mean it adds to the night.
    lift = air_c(system, months)[0] - months[0].tavg_c - facts.value("beds.frost_night_c")
    return tuple(month.tmin_c + lift for month in months)
