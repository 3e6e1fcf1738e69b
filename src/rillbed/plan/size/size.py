"""From a wish to loops: beds first, then the feed they ask for, the fish that eat it, and all that carries both."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from rillbed import facts
from rillbed.engine.climate import climate_of
from rillbed.engine.pack import capacity_g_m3_day, feed_of, fish_of, loop_of, nitrifying_m2
from rillbed.garden.errors import GardenError
from rillbed.garden.system import Bed, System
from rillbed.plan.advice import Reason
from rillbed.plan.bands import Band
from rillbed.plan.crops import crop_of
from rillbed.plan.outage.load import Shoal, spread
from rillbed.plan.size import parts
from rillbed.plan.size.answer import Option, Sizing, Use
from rillbed.plan.size.beds import Square, balance_g_day, plant_n_per_feed, square, usual_crops
from rillbed.plan.size.fish import Shoals, others, shoals
from rillbed.plan.size.stages import stages
from rillbed.plan.size.wish import Wish
from rillbed.science.feed import sizing_tan_g_day
from rillbed.tongue import tr

CROPS = 3
MONTHS_YEAR = 12.0
ROUND_L = 10.0


@dataclass(frozen=True)
class Given:
    """What does not change from one loop on offer to the next."""

    wish: Wish
    on: date
    crops: tuple[str, ...]
    per_m2: Square
    per_feed: Band  # g of nitrogen plants find in a gram of feed
    fish: Shoals
    density_kg_m3: float
    warmest_c: float


def size(wish: Wish, on: date) -> Sizing:
    """Size loops for a wish.

    Parameters
    ----------
    wish : Wish
    on : date
        Day on which the loop would be filled.

    Raises
    ------
    GardenError
        Where the kind of fish dies here or never gets to the table; names kinds that do.
    """
    given = _given(wish, on)
    wanted, room = _wanted_m2(given), _room_m2(given)
    fits = min(wanted, room) if wanted is not None else room
    fits = max(fits, facts.value("size.smallest_bed_m2"))
    large = max(fits * facts.value("size.large_share"), wanted or 0.0)
    sizes = {"small": max(facts.value("size.small_share") * fits, facts.value("size.smallest_bed_m2")),
             "middle": fits, "large": large}  # fmt: skip
    options = tuple(_option(given, code, bed_m2) for code, bed_m2 in sizes.items())
    chosen = options[1]
    return Sizing(
        options=options,
        verdict=_verdict(wish, chosen, options[-1]),
        crops=given.crops,
        species=wish.species,
        days_to_table=given.fish.days,
        stages=stages(chosen.system, chosen.fish_count, chosen.places, given.crops, given.fish.days, on),
        cautions=_cautions(wish, chosen),
    )


def _given(wish: Wish, on: date) -> Given:
    system = _system(wish, on, 1.0, 1000.0, 1.0, 10)
    climate = climate_of(system)
    water = tuple(max(t, wish.heater_set_c or t) for t in climate.water_c)
    row = facts.species()[wish.species]
    if min(water) <= row.temp_lethal_low_c or max(water) >= row.temp_lethal_high_c:
        raise GardenError(
            "species", wish.species,
            tr("dies in water of {low} to {high} °C here; {instead}").format(
                low=f"{min(water):.0f}", high=f"{max(water):.0f}", instead=_instead(wish, water)
            ),
        )  # fmt: skip
    fish = shoals(wish.species, water, round(facts.value("size.cohorts")))
    if not fish.done:
        years = facts.value("size.longest_days") / 365.0
        slow = tr("is not at its harvest weight within {years} years here; {instead}")
        raise GardenError(
            "species", wish.species, slow.format(years=f"{years:.0f}", instead=_instead(wish, water))
        )  # fmt: skip
    crops = usual_crops(climate.air_c, wish.bed_kind, CROPS)
    if not crops:
        raise GardenError("place", wish.place, tr("nothing grows there in any month; indoors or a greenhouse would do"))
    return Given(
        wish, on, crops, square([crop_of(c) for c in crops]),
        plant_n_per_feed(wish.feed, row.fcr_typical, wish.bed_kind), fish,
        row.density_home_max_kg_m3 if wish.seasoned else row.density_home_beginner_kg_m3, max(water),
    )  # fmt: skip


def _instead(wish: Wish, water: tuple[float, ...]) -> str:
    names = others(wish.species, water)[:3]
    if not names:
        return tr("no kind in the table gets there; a heater may help")
    return tr("kinds that do get there: {names}").format(names=", ".join(names))


def _feed_per_m2(given: Given) -> float:
    """Feed a square metre of bed is to get, g/day: the careful end of its nitrogen; the rule if feed brings all."""
    if given.wish.supplements:
        return balance_g_day(1.0, given.per_m2, given.per_feed).high
    return given.per_m2.rule_g_day.middle


def _wanted_m2(given: Given) -> float | None:
    """Give the beds all wishes ask for; fish ask for the beds that take what they give."""
    wish, asked = given.wish, []
    if wish.greens_week is not None:
        asked.append(wish.greens_week / given.per_m2.servings_week)
    if wish.fish_month is not None:
        kept = wish.fish_month * facts.value("size.fish_portion_g") * MONTHS_YEAR / 365.0 * given.fish.days
        asked.append(kept / fish_of(wish.species).harvest_g * given.fish.feed_g_day / _feed_per_m2(given))
    if wish.fish_count is not None:
        asked.append(wish.fish_count * given.fish.feed_g_day / _feed_per_m2(given))
    return max(asked) if asked else None


def _room_m2(given: Given) -> float:
    """Give the beds there is floor for."""
    if given.wish.floor_m2 is None:
        return math.inf
    fish = _feed_per_m2(given) / given.fish.feed_g_day
    tank_m2 = fish * given.fish.most_weight_g / given.density_kg_m3 / 1000.0 / facts.choice("tank.depth_m")
    return given.wish.floor_m2 / (1.0 + tank_m2) / (1.0 + facts.value("size.paths"))


def _system(wish: Wish, on: date, bed_m2: float, tank_l: float, sump_l: float, fish: int) -> System:
    tables = max(1, math.ceil(bed_m2 / facts.value("size.table_m2") - 1e-9))
    depth = facts.value("size.media_depth")
    water = {"media": depth * facts.value("size.wet_share"), "raft": facts.value("size.raft_depth"), "nft": 0.5}
    beds = [
        Bed(
            name=f"bed {n + 1}", kind=wish.bed_kind, area_m2=round(bed_m2 / tables, 3), medium=wish.medium,
            depth_cm=depth if wish.bed_kind == "media" else None, water_depth_cm=water[wish.bed_kind],
        )
        for n in range(tables)
    ]  # fmt: skip
    tanks = [{"name": "fish tank", "volume_l": tank_l}]
    if sump_l:
        tanks.append({"name": "sump", "volume_l": sump_l, "kind": "sump"})
    return System.make(
        {
            "name": "New loop", "latitude_deg": wish.latitude_deg, "longitude_deg": wish.longitude_deg,
            "elevation_m": wish.elevation_m, "town": wish.town, "place": wish.place, "tanks": tanks,
            "beds": [bed.model_dump() for bed in beds], "heater_set_c": wish.heater_set_c, "feed": wish.feed,
            "source_water": {"na_mg_l": wish.source_na_mg_l}, "started_on": on,
            "planned_fish": [
                {"species": wish.species, "count": fish, "weight_g": facts.value("size.fish_start_g")}
            ],
        }
    )  # fmt: skip


def _option(given: Given, code: str, bed_m2: float) -> Option:
    wish, value = given.wish, facts.value
    feed = bed_m2 * _feed_per_m2(given)
    smallest = value("size.smallest_tank_l")
    count = max(1, round(feed / given.fish.feed_g_day))
    biomass = count * given.fish.most_weight_g
    tank_l = max(smallest, math.ceil(biomass / given.density_kg_m3 / ROUND_L) * ROUND_L)
    draft = _system(wish, given.on, bed_m2, tank_l, 0.0, count)
    sump = round(parts.sump_l(draft.beds) / ROUND_L) * ROUND_L
    system = _system(wish, given.on, bed_m2, tank_l, sump, count)
    climate = climate_of(system)
    harvest = fish_of(wish.species).harvest_g
    shoal = Shoal(wish.species, biomass / harvest, harvest)
    air_l, air_w = parts.air(system, shoal, given.warmest_c, spread())
    pump_l = tank_l * value("size.turnover")
    pump = parts.pump_w(pump_l)
    lost = parts.lost_l_day(climate, bed_m2, tank_l / 1000.0 / facts.choice("tank.depth_m"))
    bleed = parts.bleed_l_day(lost.middle, feed, wish.source_na_mg_l)
    base = (pump + air_w) * parts.HOURS_MONTH / parts.W_PER_KW
    warm = parts.heat_kwh_month(system, climate.air_c)
    kwh = Band(base, base, base)
    most_feed = count * given.fish.most_feed_g_day
    needs = float(sizing_tan_g_day(most_feed, feed_of(wish.feed).protein))
    carries = float(np.mean(capacity_g_m3_day(loop_of(system)))) * system.total_volume_m3
    per_table = bed_m2 / len(system.beds)
    bed_kg = parts.bed_kg_m2(system.beds[0])
    tank_kg_m2 = facts.choice("tank.depth_m") * parts.KG_PER_M3
    floor = (bed_m2 + tank_l / 1000.0 / facts.choice("tank.depth_m")) * (1.0 + value("size.paths"))
    option = Option(
        code=code, bed_m2=bed_m2, tables=len(system.beds), places=math.floor(bed_m2 * given.per_m2.plants),
        tank_l=tank_l, sump_l=sump, loop_l=system.total_volume_m3 * parts.L_PER_M3, fish_count=count,
        most_biomass_g=biomass, feed_g_day=Band(feed, feed, most_feed),
        balance_g_day=balance_g_day(bed_m2, given.per_m2, given.per_feed),
        rule_g_day=Band(*(bed_m2 * x for x in vars(given.per_m2.rule_g_day).values())),
        greens_week=bed_m2 * given.per_m2.servings_week,
        fish_month=count * harvest / given.fish.days * 365.0 / MONTHS_YEAR / value("size.fish_portion_g"),
        floor_m2=floor, foot_kg=max(per_table * bed_kg / value("size.feet"), 0.0),
        floor_kg_m2=max(bed_kg, tank_kg_m2), pump_l_h=pump_l, pump_w=pump, air_l_min=air_l, air_w=air_w,
        filter_m2=nitrifying_m2(system), filter_needs_m2=needs / carries * nitrifying_m2(system),
        kwh_month=kwh, heat_kwh_month=warm, water_l_day=lost, bleed_l_day=bleed,
        cost_month=_cost(wish, kwh, warm, feed), uses=(), fits=True, system=system,
    )  # fmt: skip
    uses = _uses(given, option, tank_l)
    return replace(option, uses=uses, fits=not any(u.over for u in uses if u.limit != "floor"))


def _cost(wish: Wish, kwh: Band, warm: Band, feed_g_day: float) -> Band | None:
    if wish.kwh_price is None and wish.feed_price_kg is None:
        return None
    power, feed = wish.kwh_price or 0.0, wish.feed_price_kg or 0.0
    fed = feed_g_day * parts.DAYS_MONTH / 1000.0 * feed
    return Band(*(fed + power * (a + b) for a, b in zip(vars(kwh).values(), vars(warm).values(), strict=True)))


def _uses(given: Given, option: Option, tank_l: float) -> tuple[Use, ...]:
    wish = given.wish
    found = [
        Use("density", _same(option.most_biomass_g / tank_l / given.density_kg_m3)),
        Use("nitrogen", Band(*(b / option.feed_g_day.middle for b in vars(option.balance_g_day).values()))),
        Use("filter", _same(option.filter_needs_m2 / option.filter_m2)),
    ]
    if wish.floor_m2 is not None:
        paths = parts.ends("size.paths")
        bare = option.floor_m2 / (1.0 + paths.middle)
        found.append(Use("space", Band(*(bare * (1.0 + p) / wish.floor_m2 for p in vars(paths).values()))))
    if wish.ground == "upper":
        load = parts.ends("size.floor_load")
        found.append(Use("floor", Band(*(option.floor_kg_m2 / x for x in (load.high, load.middle, load.low)))))
    # what a floor bears is for an engineer to say: it is shown, and binds nothing here
    return tuple(sorted(found, key=lambda use: (use.limit == "floor", -use.share.middle)))


def _same(share: float) -> Band:
    return Band(share, share, share)


def _verdict(wish: Wish, fits: Option, large: Option) -> tuple[Reason, ...]:
    out = []
    for name in ("greens_week", "fish_month", "fish_count"):
        asked, gives = getattr(wish, name), getattr(fits, name)
        if asked is not None:
            code = "met" if gives >= asked * (1.0 - 1e-3) or round(gives) >= asked else "short"
            out.append(Reason(f"size.{name}_{code}", {"asked": asked, "gives": gives}))
    if not out:
        out.append(Reason("size.space", {"greens_week": fits.greens_week, "fish_month": fits.fish_month}))
    out.append(Reason(f"size.binds_{fits.binds}"))
    if not large.fits:
        over = next(use for use in large.uses if use.over)
        out.append(Reason("size.next", {"limit": over.limit, "share": over.share.middle}))
    return tuple(out)


def _cautions(wish: Wish, option: Option) -> tuple[str, ...]:
    found = ["size.weight_upper" if wish.ground == "upper" else "size.weight", "size.electricity", "size.children"]
    if option.bleed_l_day > 0.0:
        found.append("size.bleed" if math.isfinite(option.bleed_l_day) else "size.salty")
    return (*found, "size.species", "size.welfare")
