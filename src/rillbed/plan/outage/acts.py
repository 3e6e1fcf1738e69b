"""What to do when the air stops, in order, with amounts and the minutes there are."""

from __future__ import annotations

from collections.abc import Sequence

from rillbed import facts
from rillbed.plan.advice import Reason, Value
from rillbed.plan.outage.answer import Act, TankLife

MINUTES_PER_HOUR = 60.0
# No act is worth waiting for longer than this, nor can it be done faster than that.
SOONEST, LATEST = 2.0, 24.0 * MINUTES_PER_HOUR
CHANGE_SHARE = facts.value("dosing.change_most_unknown")


def acts(tanks: Sequence[TankLife]) -> tuple[Act, ...]:
    """Order the acts: what costs nothing first, then air, the tank that fails first before the others."""
    stocked = [tank for tank in tanks if tank.biomass_g > 0.0]
    if not stocked:
        return ()
    first = stocked[0]
    fast = facts.value("aeration.fast_hours")
    out = [
        Act("stop_feed", 0.0, why=(Reason("outage.fed", {"ratio": _fed_ratio(first), "hours": fast}),)),
        Act("check_switch", SOONEST, cautions=("electricity",)),
    ]
    for place, tank in enumerate(stocked):
        by = _half(tank)
        why = (_limit(tank),)
        out.append(Act("air", by, tank.name, tank.air.air_l_min, "L/min", why, ("electricity.battery",)))
        if place == 0 or tank.first_minutes < LATEST:
            out.append(_pour(tank, by))
    thin = _thin(stocked)
    if thin is not None:
        out.append(thin)
    out += [
        Act("change", 2.0 * _half(first), first.name, CHANGE_SHARE * first.volume_l, "L", (Reason("outage.change"),)),
        Act("cool", _half(first), first.name, facts.value("aeration.cooling_c_h"), "°C/h", (Reason("outage.cool"),)),
        Act("generator", first.first_minutes, cautions=("generator.outdoors", "electricity")),
        Act("back_on", LATEST, why=(Reason("outage.back_on", {"hours": fast}),)),
        Act("test_after", LATEST, why=(Reason("outage.test_after"),)),
        Act("alarm", LATEST, first.name, first.air.battery_ah, "Ah", (_battery(first),), ("electricity.battery",)),
    ]
    return tuple(sorted(out, key=lambda act: act.by_minutes))


def _half(tank: TankLife) -> float:
    """Half of the cautious time: the other half is for what goes wrong."""
    return float(min(max(0.5 * tank.first_minutes, SOONEST), LATEST))


def _fed_ratio(tank: TankLife) -> float:
    return max(facts.species()[item.species].o2_fed_factor for item in tank.lasts)


def _limit(tank: TankLife) -> Reason:
    worst = tank.lasts[0]
    values: dict[str, Value] = {
        "species": worst.species,
        "minutes": worst.critical.cautious,
        "density": tank.density_kg_m3,
        "level": facts.species()[worst.species].do_critical_mg_l,
    }
    return Reason("outage.lasts", values)


def _battery(tank: TankLife) -> Reason:
    volts = facts.value("aeration.battery_volts")
    return Reason("outage.battery", {"watts": tank.air.watts, "hours": tank.air.hours, "volts": volts})


def _pour(tank: TankLife, by: float) -> Act:
    """Pour water back from a height, as much as one person can; and say which part of the need that covers."""
    most = facts.value("aeration.pour_most")
    given = min(tank.air.pour_l_min, most)
    values: dict[str, Value] = {"height": facts.value("aeration.pour_height"), "share": given / tank.air.pour_l_min}
    return Act("pour", by, tank.name, given, "L/min", (Reason("outage.pour", values),), ("water.lift",))


def _thin(tanks: Sequence[TankLife]) -> Act | None:
    """Move fish from the densest tank to the emptiest until both are as full; nothing where that is little."""
    if len(tanks) < 2:
        return None
    full, empty = max(tanks, key=lambda t: t.density_kg_m3), min(tanks, key=lambda t: t.density_kg_m3)
    even = (full.biomass_g + empty.biomass_g) / (full.volume_l + empty.volume_l)
    move = full.biomass_g - even * full.volume_l
    if move < 0.1 * full.biomass_g:
        return None
    why = Reason("outage.thin", {"from_tank": full.name, "to_tank": empty.name, "density": even})
    return Act("thin", _half(full), full.name, move / 1000.0, "kg", (why,), ("fish.handling",))
