"""The questions of the set-up, in the order in which they are asked."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import facts
from rillbed.garden.quantities import QUANTITIES
from rillbed.tongue import later
from rillbed.web.setup.fields import Field, Options
from rillbed.words.cautions import CAUTIONS

HEAVY = later("Water and wet medium are heavy. Ask whoever knows the floor or the roof what it bears.")
TAP = later("Chlorine and chloramine kill fish and bacteria. Until a test says there is none, treat the water first.")
MAINS = later("Electricity and water: a residual-current switch, and a drip loop in every cable.")


@dataclass(frozen=True)
class Question:
    """One section of the form; `more` opens on demand. `lists` is a list of the loop, whose rows have `row` fields."""

    key: str
    title: str
    lede: str = ""
    fields: tuple[Field, ...] = ()
    more_title: str = ""
    more: tuple[Field, ...] = ()
    lists: str = ""
    one: str = ""  # a row of the list, named
    row: tuple[Field, ...] = ()
    care: tuple[str, ...] = ()


def _named(table: str) -> Options:
    rows = getattr(facts, table)()
    return [(key, getattr(row, "common_name", "") or row.name) for key, row in rows.items()]


def _towns() -> Options:
    named = [(key, f"{town.name}, {town.country}") for key, town in facts.towns().items()]
    return [("", "none of them: by figures"), *sorted(named, key=lambda one: one[1])]


def _maybe(table: str, nothing: str) -> Options:
    return [("", nothing), *_named(table)]


PLACES = (("outdoors", "outdoors"), ("greenhouse", "in a greenhouse"), ("indoors", "indoors"))
PATHS = (
    ("fishless", "No fish: bacteria first"),
    ("fish_in", "A few fish from the start"),
    ("stocked", "Fish are in it already"),
    ("running", "It has run for long"),
)
SEEDING = (("none", "nothing"), ("pond", "water or mud of a healthy pond"), ("mature", "medium of a mature loop"))
AERATION = (("stones", "air stones"), ("cascade", "falling water"), ("strong", "strong blower and falling water"))
QUANTITY = tuple((key, q.name[:1].upper() + q.name[1:] if key != "ph" else "pH") for key, q in QUANTITIES.items())
BASIS = (("", "not known"), ("n", "the element: as N, as P"), ("ion", "the ion: as nitrate, as nitrite …"))
KIT_UNITS = (
    ("mg/L", "mg/L"), ("ug/L", "µg/L"), ("", "none (pH)"), ("dKH", "°dKH"), ("ppm_CaCO3", "mg/L as CaCO₃"),
    ("meq/L", "meq/L"), ("mS/cm", "mS/cm"), ("degC", "°C"), ("degF", "°F"),
)  # fmt: skip


TANK = (
    Field("name", "Name"),
    Field("volume_l", "Water in use", "number", measure="volume"),
    Field("kind", "It holds", "choice", lambda: (("fish", "fish"), ("sump", "no fish: a sump"))),
)
BED = (
    Field("name", "Name"),
    Field("kind", "Kind", "choice", lambda: (("media", "filled with a medium"), ("raft", "raft"), ("nft", "pipes"))),
    Field("area_m2", "Area", "number", measure="area"),
    Field("medium", "Medium", "choice", lambda: _maybe("media", "none, or not listed")),
    Field("depth_cm", "Depth of the medium", "number", measure="depth"),
    Field("water_depth_cm", "Depth of water, mean", "number", measure="depth"),
    Field("water_fraction", "Water in that depth", "number", help="As a share, 0 to 1. Empty: that of the medium."),
)
KIT = (
    Field("name", "Name"),
    Field("quantity", "Tests for", "choice", lambda: QUANTITY),
    Field("kind", "Kind", "choice", lambda: (("drops", "drops"), ("strip", "strip"), ("meter", "meter"))),
    Field("unit", "Unit on the card", "choice", lambda: KIT_UNITS),
    Field("basis", "The card counts", "choice", lambda: BASIS),
    Field("steps", "Steps on the card", help="Copy the numbers, parted by blanks. They become your buttons."),
    Field("wait_minutes", "Wait before reading", "number", unit="minutes"),
    Field("low_open", "lowest step: or less", "check"),
    Field("high_open", "highest step: or more", "check"),
)
FISH = (
    Field("species", "Fish", "choice", lambda: _named("species")),
    Field("count", "How many", "number"),
    Field("weight_g", "Weight of one", "number", measure="mass"),
    Field("on", "Arrives on", "date"),
)
WATER = (
    Field("alkalinity_meq_l", "Alkalinity (KH)", "number", measure="alkalinity"),
    Field("ph", "pH", "number"),
    Field("free_chlorine_mg_l", "Free chlorine", "number", measure="mg_l"),
    Field("chloramine_mg_l", "Chloramine", "number", measure="mg_l", help="0 if the supplier says there is none."),
)
MORE_WATER = (
    Field("ca_mg_l", "Calcium", "number", measure="mg_l"),
    Field("mg_mg_l", "Magnesium", "number", measure="mg_l"),
    Field("k_mg_l", "Potassium", "number", measure="mg_l"),
    Field("na_mg_l", "Sodium", "number", measure="mg_l"),
    Field("cl_mg_l", "Chloride", "number", measure="mg_l"),
    Field("so4_s_mg_l", "Sulfate", "number", measure="sulfate"),
    Field("no3_n_mg_l", "Nitrate", "number", measure="nitrate"),
    Field("p_mg_l", "Phosphate", "number", measure="phosphate"),
    Field("fe_mg_l", "Iron", "number", measure="mg_l"),
)
AMMONIA = (
    Field("source", "Ammonia source at hand", "choice", lambda: _maybe("ammonia_sources", "none yet")),
    Field("strength_pct", "Strength on the label", "number", measure="percent", help="By weight."),
    Field("density_g_ml", "Density on the label", "number", unit="g/mL", help="Of a liquid, if it is printed."),
    Field("stock_ml", "Left, if liquid", "number", measure="liquid"),
    Field("stock_g", "Left, if dry", "number", measure="mass"),
)
MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip


def _within(prefix: str, fields: tuple[Field, ...]) -> tuple[Field, ...]:
    return tuple(Field(**{**vars(field), "name": prefix + field.name}) for field in fields)


def _months() -> tuple[Field, ...]:
    first = Field("water_temp_c-0", "January", "number", measure="temperature", help="The unit counts for all twelve.")
    return (first, *(Field(f"water_temp_c-{n}", month, "number") for n, month in enumerate(MONTH_NAMES) if n))


QUESTIONS = (
    Question(
        "where",
        "Where is it?",
        fields=(
            Field("name", "Name of the loop"),
            Field("town", "Nearest town", "choice", _towns, help="Pick the one whose winter is like yours."),
            Field("place", "The beds stand", "picks", lambda: PLACES),
        ),
        more_title="Place by figures, time zone",
        more=(
            Field("latitude_deg", "Latitude", "number", unit="°", help="South is negative. Empty: that of the town."),
            Field("longitude_deg", "Longitude", "number", unit="°", help="West is negative."),
            Field("elevation_m", "Height above the sea", "number", measure="length_m"),
            Field("time_zone", "Time zone", help="Such as Australia/Perth."),
        ),
    ),
    Question(
        "tanks",
        "How much water is in it?",
        "Fish tanks and sumps. Water in the beds comes next. US and imperial gallons differ by a fifth.",
        lists="tanks",
        one="tank",
        row=TANK,
        fields=(Field("aeration", "Air comes from", "choice", lambda: AERATION),),
    ),
    Question(
        "beds",
        "What do the plants grow in?",
        lists="beds",
        one="bed",
        row=BED,
        care=(HEAVY,),
    ),
    Question(
        "source",
        "Which water do you add?",
        "From your kit or the supplier’s report. Leave empty what you do not know.",
        fields=_within("source_water-", WATER),
        more_title="Minerals of the report",
        more=_within("source_water-", MORE_WATER),
        care=(TAP,),
    ),
    Question(
        "warmth",
        "How warm is the water?",
        "Empty: worked out from the weather. Logged temperatures count more.",
        fields=(Field("heater_set_c", "Heater is set to", "number", measure="temperature"),),
        more_title="Water month by month",
        more=_months(),
        care=(MAINS,),
    ),
    Question(
        "start",
        "How does it start?",
        fields=(
            Field("startup_path", "Fish", "picks", lambda: PATHS),
            Field("started_on", "Filled on", "date"),
            Field("seeding", "Bacteria brought with", "choice", lambda: SEEDING),
            *_within("ammonia_source-", AMMONIA),
        ),
    ),
    Question(
        "fish",
        "Which fish, and what do they eat?",
        "Fish that are to arrive. Those in the water are in the log.",
        lists="planned_fish",
        one="group",
        row=FISH,
        fields=(
            Field("feed", "Feed", "choice", lambda: _maybe("feeds", "not chosen yet")),
            Field("meals_per_day", "Meals a day", "number"),
            Field("planned_feed_g_day", "Feed a day, once stocked", "number", measure="mass"),
        ),
        care=(CAUTIONS["fish.law"], CAUTIONS["fish.welfare"]),
    ),
    Question(
        "kits",
        "What does your test card show?",
        "The lists below are neutral. Change them to the numbers printed on your own card.",
        lists="kits",
        one="test",
        row=KIT,
        care=(CAUTIONS["kit.reagents"],),
    ),
)
