"""Where each figure of the forecast comes from: how it is worked out, and the figures that went in."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed.garden.state import LoopState
from rillbed.tongue import later, tr
from rillbed.web.today.why import Why, inputs_of
from rillbed.words.formulas import FORMULAS

Said = str | tuple[str, str]  # a text, or one with the text for its field `of`


@dataclass(frozen=True)
class Origin:
    """Lines of a formula and keys of the facts behind it; `living` adds the loop's own fish, crops or feed."""

    formula: tuple[Said, ...]
    facts: tuple[str, ...]
    living: tuple[str, ...] = ()


BACTERIA = ("priors/mu_a", "priors/mu_n", "priors/decay", "priors/k_tan", "priors/k_no2", "priors/cap_max")
BUFFER = ("nitrifier.alkalinity_per_n", "carbonate.k1", "carbonate.k2", "run.base_floor_meq_l", "run.base_target_meq_l")
SHARES = ("feed.n_of_protein", "feed.fish_n", "priors/uneaten", "priors/faecal", "priors/retention_factor")
SINKS = ("priors/coupled_share", "priors/k_denit", "plant.half_n_mg_l", "priors/n_lux_pct")
FLOORS = tuple(f"plants.room_floor_{element}" for element in ("n", "p", "k", "ca", "mg", "fe"))
SEEDS = ("priors/cap_a0_tap", "priors/cap_a0_pond", "priors/cap_a0_mature", "priors/cap_ratio")
EACH_HOUR = later("Each hour, in each version of the loop; the two figures hold 8 versions in 10.")


def _mineral(name: str, *facts: str) -> Origin:
    return Origin(
        (
            (
                later("{of} tomorrow = {of} today + feed eaten and left × its share + what was put in + source water"),
                name,
            ),
            later("− what plants take (growth × content between critical and luxury) − what leaves with water"),
            later("÷ water in the loop"),
        ),
        facts,
        ("feed", "crops"),
    )


ORIGINS = {
    "temp_c": Origin(
        (
            later("water follows the air of the nearest town's normals with a delay"),
            later("a heater's set point is the least; a logged thermometer takes its place and fades again"),
        ),
        ("climate.indoor_air_c", "climate.greenhouse_lift_c", "climate.least_water_c", "run.temperature_memory_days"),
    ),
    "o2_min_mg_l": Origin(
        (
            later(
                "oxygen at dawn = saturation at this warmth and height − "
                "(breath of fish, bacteria and roots) ÷ air uptake"
            ),
            EACH_HOUR,
        ),
        ("oxygen.saturation", "priors/respiration", "oxygen.per_ammonia_n", "oxygen.per_nitrite_n", "priors/kla_o2"),
    ),
    "tan_mg_l": Origin(
        (
            later(
                "ammonia next hour = ammonia + (excreted + freed from solids − turned into nitrite − taken up) ÷ water"
            ),
            later("turned = capacity of the bacteria × warmth × pH × oxygen × ammonia ÷ (half-value + ammonia)"),
            EACH_HOUR,
        ),
        (*SHARES, *BACTERIA, "nitrifier.ph_max"),
        ("feed",),
    ),
    "no2_mg_l": Origin(
        (
            later("nitrite next hour = nitrite + turned from ammonia − turned into nitrate"),
            later("turned = capacity of the second bacteria × warmth × oxygen × nitrite ÷ (half-value + nitrite)"),
            EACH_HOUR,
        ),
        (*BACTERIA, "priors/ki_nh3"),
    ),
    "ph": Origin(
        (later("pH = first constant of carbonic acid + log of (alkalinity ÷ carbon dioxide)"), EACH_HOUR),
        (*BUFFER, "priors/kla_o2", "oxygen.kla_co2_ratio", "priors/respiration"),
    ),
    "alkalinity_meq_l": Origin(
        (
            later("alkalinity tomorrow = alkalinity + buffer put in + source water + nitrate and ions taken by plants"),
            later("− nitrogen turned into nitrate × what that uses − scale"),
        ),
        (*BUFFER, "scale.index", "scale.per_day"),
    ),
    "no3_mg_l": Origin(
        (
            later("nitrate next hour = nitrate + turned from nitrite − taken by plants − lost to the air"),
            later("taken = growth × nitrogen content, less as nitrate runs out"),
            EACH_HOUR,
        ),
        (*SHARES, *SINKS),
        ("feed", "crops"),
    ),
    "k_mg_l": _mineral(later("potassium"), "plant.half_k_mg_l", "priors/k_crit_pct", "priors/k_lux_pct"),
    "ca_mg_l": _mineral(
        later("calcium"), "plant.half_ca_mg_l", "priors/ca_crit_pct", "priors/ca_lux_pct", "scale.per_day"
    ),
    "fe_mg_l": _mineral(later("iron"), "plant.half_fe_mg_l", "plant.fe_crit_pct", "plant.fe_lux_pct", "priors/fe_loss"),
    "fish_weight_g": Origin(
        (
            later(
                "gain of a day = growth rate × warmth × weight to the power ⅔, less where feed or water hold it back"
            ),
            later("a weigh-in takes the place of what was worked out"),
        ),
        ("priors/tgc_factor", "priors/fcr_factor"),
        ("fish",),
    ),
    "fish_biomass_g": Origin(
        (later("all fish = fish alive by the log × weight of one"),), ("priors/tgc_factor",), ("fish",)
    ),
    "feed_g_day": Origin(
        (later("past days: what the log says was fed"), (later("days to come: {of}"), FORMULAS["feed.ration"][1])),
        ("priors/fcr_factor", "priors/tgc_factor"),
        ("fish",),
    ),
    "plant_area_m2": Origin(
        (later("planted = plants standing by the log ÷ plants that stand on a square metre"),),
        ("plants.places_m2",),
        ("crops",),
    ),
    "flow": Origin(
        (
            later("feed brings feed × protein × nitrogen of protein; fish keep gain × nitrogen of fish"),
            later("what they neither keep nor leave as solids comes into the water"),
            later("plants take growth × content; the air takes a share on the way and more where nitrate is high"),
            later("stays = into the water − plants − air"),
        ),
        (*SHARES, "priors/solids_share_media", *SINKS),
        ("feed",),
    ),
    "room": Origin(
        (
            *FORMULAS["room.chance"],
            later("for good, by nitrogen = nitrogen that stays free each day ÷ what a square metre of the crop takes"),
            later("for good, by feed rule = feed a day ÷ the rule's grams for each square metre"),
        ),
        (*FLOORS, "plants.room_k_pct", "plants.places_m2", "feed_rate_bands"),
        ("crops",),
    ),
    "carried": Origin(
        (
            later(
                "each step carries capacity × low level ÷ (half-value + low level); the capacity grows in the forecast"
            ),
            later("ammonia they carry = the weaker of both steps × water in the loop"),
            later(
                "feed they carry = ammonia they carry ÷ "
                "(protein of the feed × ammonia nitrogen for each gram of protein)"
            ),
            later("at 20 °C: less in colder water"),
        ),
        (*BACTERIA, "feed.tan_per_protein", "start.clear_below"),
        ("feed",),
    ),
    "ready": Origin(
        (
            later("ready = the day on which a full day's ammonia is gone in 24 hours, for the second day running"),
            later("each version of the loop has its own day; a dot is the day by which one more in twenty is ready"),
        ),
        (*BACTERIA, *SEEDS, "start.refill_to", "start.refill_below", "start.clear_below"),
    ),
}


def origin(name: str, state: LoopState) -> Why:
    """Return how a column of the forecast, or a picture, is worked out for this loop; empty for an unknown name."""
    found = ORIGINS.get(name)
    if found is None:
        return Why((), ())
    return Why(tuple(map(_said, found.formula)), inputs_of((*found.facts, *_living(found, state))))


def _said(line: Said) -> str:
    return tr(line) if isinstance(line, str) else tr(line[0]).format(of=tr(line[1]))


def _living(found: Origin, state: LoopState) -> tuple[str, ...]:
    out: list[str] = []
    if "feed" in found.living and state.feed:
        out.append(f"feeds/{state.feed}")
    if "fish" in found.living:
        out += [f"species/{group.species}:tgc,ctmi,fcr,feed" for group in state.groups.values() if group.count]
    if "crops" in found.living:
        out += [f"crops/{one.crop}:spacing,composition,uptake" for one in state.plantings.values() if one.standing]
    return tuple(dict.fromkeys(out))
