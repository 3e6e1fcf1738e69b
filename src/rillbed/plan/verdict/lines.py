"""The lines of each band for the fish that live here: the general ones, and those of a species where stricter.

A figure of a species that stands on memory alone stands beside a general one and can only make it stricter; where it
would call for action by itself (pH) it only asks to watch. Temperature has no general line for a lethal end: there the
band says that memory decided.
"""

from __future__ import annotations

from rillbed import facts, units
from rillbed.plan.verdict.bands import Level
from rillbed.plan.verdict.ladder import Ladder, Line, highest, lowest, of_figure, of_limit, of_species
from rillbed.plan.verdict.who import Who

NO2_N = units.convert_basis(1.0, "NO2", "N")


def nh3(who: Who) -> Ladder:
    """Un-ionised ammonia, mg N/L."""
    if "cold_fish" in who.general:
        lines = [of_figure(f"verdict.nh3_cold_{level}", "cold_fish") for level in ("watch", "act", "danger")]
    else:
        lines = [of_limit(f"nh3_{row}", "low") for row in ("watch", "act", "emergency")]
    return _rising(who, *lines)


def no2(who: Who) -> Ladder:
    """Nitrite before any protection by chloride, mg N/L."""
    watch, act, danger = (of_limit(f"no2_{row}", "low") for row in ("watch", "act", "emergency"))
    if "cold_fish" in who.general:
        watch = lowest(watch, of_limit("no2_cold_fish", "high"))
        danger = lowest(danger, of_figure("verdict.no2_cold_danger", "cold_fish"))
    own = [of_species(name, "nitrite_max_mg_l", NO2_N) for name in who.species]
    return _rising(who, watch, lowest(act, *own), danger)


def tan(who: Who) -> Ladder:
    """Total ammonia, mg N/L."""
    own = [of_species(name, "tan_max_mg_l") for name in who.species]
    act = lowest(*own, *(of_limit(f"tan_{group}", "high") for group in who.general))
    watch = lowest(act, of_limit("tan_loop", "high"))
    return Ladder({"watch": watch, "act": act})


def no3(who: Who) -> Ladder:
    """Nitrate, mg N/L: what fish bear, and what plants lack."""
    act = of_limit("no3_act", "low")
    if "cold_fish" in who.general:
        act = lowest(act, of_figure("verdict.no3_cold", "cold_fish"))
    below: dict[Level, Line] = {"watch": of_limit("no3_short", "high")} if who.plants else {}
    return Ladder({"watch": of_limit("no3_watch", "low"), "act": act}, below)


def oxygen(who: Who, saturation_mg_l: float) -> Ladder:
    """Oxygen, mg/L; ``saturation_mg_l`` of this water at this height.

    Under sixty per cent of saturation the air does not keep up: that calls for action once the target is missed too.
    """
    targets = [of_limit("oxygen_loop", "low"), *(of_species(name, "do_target_mg_l") for name in who.species)]
    if "cold_fish" in who.general:
        targets.append(of_limit("oxygen_cold_fish", "low"))
    target = highest(*targets)
    thin = of_limit("oxygen_share_act", "high").times(saturation_mg_l / 100.0)
    airy = of_limit("oxygen_share_good", "low").times(saturation_mg_l / 100.0)
    act = highest(
        of_limit("oxygen_act", "high"),
        *(of_species(name, "do_min_mg_l") for name in who.species),
        min(thin, target, key=lambda line: line.value),
    )
    danger = highest(
        of_limit("oxygen_emergency", "high"), *(of_species(name, "do_critical_mg_l") for name in who.species)
    )
    return Ladder({}, {"watch": highest(act, target, airy), "act": act, "danger": danger})


def ph(who: Who) -> Ladder:
    """PH: fish, bacteria, and plants where any grow."""
    high, low = of_limit("ph_warm_fish", "high"), of_limit("ph_nitrifiers", "low")
    own_low = [of_species(name, "ph_min") for name in who.species]
    own_high = [of_species(name, "ph_max") for name in who.species]
    act_high = lowest(high, *(line for line in own_high if line.grade != "memory"))
    act_low = highest(low, *(line for line in own_low if line.grade != "memory"))
    watch_high = lowest(act_high, *own_high, *([of_limit("ph_plants", "high")] if who.plants else []))
    watch_low = highest(act_low, of_figure("plan.ph_low", "fish"), *own_low)
    return Ladder(
        {"watch": watch_high, "act": act_high, "danger": of_figure("verdict.ph_danger_high", "fish")},
        {"watch": watch_low, "act": act_low, "danger": of_figure("verdict.ph_danger_low", "fish")},
    )


def ph_rate() -> Ladder:
    """Change of pH in a day, as an amount."""
    return Ladder(
        {
            "watch": of_figure("dosing.ph_step", "fish"),
            "act": of_limit("ph_swing", "high"),
            "danger": of_figure("verdict.ph_rate_danger", "fish"),
        }
    )


def co2() -> Ladder:
    """Carbon dioxide, mg/L."""
    watch, act, danger = (of_limit(f"co2_{row}", "low") for row in ("watch", "act", "emergency"))
    return Ladder({"watch": watch, "act": act, "danger": danger})


def alkalinity() -> Ladder:
    """Alkalinity, meq/L."""
    return Ladder(
        {"watch": of_limit("alkalinity_ceiling", "high")},
        {
            "watch": of_limit("alkalinity_good", "low"),
            "act": of_limit("alkalinity_act", "high"),
            "danger": of_figure("verdict.alkalinity_crash", "loop"),
        },
    )


def temperature(who: Who) -> Ladder:
    """Water temperature, degC: bacteria always, fish by their kind."""
    above: dict[Level, Line] = {"watch": of_limit("temperature_nitrifiers", "high")}
    below: dict[Level, Line] = {"watch": of_limit("temperature_nitrifiers", "low")}
    if who.fish and not who.species:
        above = {"watch": of_limit("temperature_loop", "high"), "act": of_limit("temperature_warm_fish", "high")}
        below = {"watch": of_limit("temperature_loop", "low"), "act": of_limit("temperature_cold_fish", "low")}
    elif who.species:
        climates = [facts.species()[name].climate for name in who.species]
        general = [
            f"temperature_{climate}_fish" if climate in ("warm", "cold") else "temperature_loop" for climate in climates
        ]
        margin = facts.value("verdict.lethal_margin")
        hot = [of_species(name, "temp_lethal_high_c") for name in who.species]
        cold = [of_species(name, "temp_lethal_low_c") for name in who.species]
        act_high = lowest(*(of_species(name, "temp_vital_max_c") for name in who.species))
        act_low = highest(*(of_species(name, "temp_vital_min_c") for name in who.species))
        above = {
            "watch": lowest(
                above["watch"],
                *(of_limit(row, "high") for row in general),
                *(of_species(name, "temp_opt_max_c") for name in who.species),
            ),
            "act": act_high,
            "danger": highest(act_high, lowest(*hot).plus(-margin)),
        }
        below = {
            "watch": highest(
                below["watch"],
                *(of_limit(row, "low") for row in general),
                *(of_species(name, "temp_opt_min_c") for name in who.species),
            ),
            "act": act_low,
            "danger": lowest(act_low, highest(*cold).plus(margin)),
        }
    return Ladder(above, below)


def chlorine() -> Ladder:
    """Free or bound chlorine, mg/L as Cl2: none is harmless."""
    line = of_limit("chlorine_ceiling", "high")
    return Ladder({"watch": line, "act": line, "danger": line})


def hardness() -> Ladder:
    """Calcium and magnesium, meq/L."""
    return Ladder(
        {"watch": of_figure("verdict.hardness_most", "loop")}, {"watch": of_figure("verdict.hardness_least", "loop")}
    )


def ec() -> Ladder:
    """Conductivity, mS/cm."""
    return Ladder({"watch": of_limit("ec_loop", "high")}, {"watch": of_limit("ec_loop", "low")})


def _rising(who: Who, *lines: Line) -> Ladder:
    factor = facts.value("verdict.fry_share") if who.fry else 1.0
    watch, act, danger = (line.times(factor) for line in lines)
    return Ladder({"watch": lowest(watch, act), "act": act, "danger": danger})
