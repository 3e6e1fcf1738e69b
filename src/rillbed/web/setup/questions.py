"""The questions of the set-up, in the order in which they are asked."""

from __future__ import annotations

from dataclasses import dataclass

from rillbed import facts
from rillbed.facts.climate import Town
from rillbed.garden.quantities import QUANTITIES
from rillbed.tongue import later, tr
from rillbed.web.setup.fields import Field, Options
from rillbed.words.cautions import CAUTIONS
from rillbed.words.numbers import capital

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
    add: str = ""  # texts of a list: one more row, a row left out, a row without a name
    leave: str = ""
    nth: str = ""
    row: tuple[Field, ...] = ()
    care: tuple[str, ...] = ()


def _named(table: str) -> Options:
    rows = getattr(facts, table)()
    return [(key, tr(getattr(row, "common_name", "") or row.name)) for key, row in rows.items()]


def towns() -> list[tuple[str, str]]:
    """Return every town with its name, in the order of the names."""
    named = [(key, said(town)) for key, town in facts.towns().items()]
    return sorted(named, key=lambda one: one[1])


def said(town: Town) -> str:
    """Name a town and its country."""
    return f"{tr(town.name)}, {tr(town.country)}"


def _towns() -> Options:
    return [("", later("none of them: by figures")), *towns()]


def _quantities() -> Options:
    return [(key, capital(tr(quantity.name))) for key, quantity in QUANTITIES.items()]


def _maybe(table: str, nothing: str) -> Options:
    return [("", nothing), *_named(table)]


PLACES = (("outdoors", later("outdoors")), ("greenhouse", later("in a greenhouse")), ("indoors", later("indoors")))
PATHS = (
    ("fishless", later("No fish: bacteria first")),
    ("fish_in", later("A few fish from the start")),
    ("stocked", later("Fish are in it already")),
    ("running", later("It has run for long")),
)
SEEDING = (
    ("none", later("nothing")),
    ("pond", later("water or mud of a healthy pond")),
    ("mature", later("medium of a mature loop")),
)
AERATION = (
    ("stones", later("air stones")),
    ("cascade", later("falling water")),
    ("strong", later("strong blower and falling water")),
)
BASIS = (
    ("", later("not known")),
    ("n", later("the element: as N, as P")),
    ("ion", later("the ion: as nitrate, as nitrite …")),
)
KIT_UNITS = (
    ("mg/L", "mg/L"), ("ug/L", later("µg/L")), ("", later("none (pH)")), ("dKH", "°dKH"),
    ("ppm_CaCO3", later("mg/L as CaCO₃")), ("meq/L", "meq/L"), ("mS/cm", "mS/cm"), ("degC", "°C"), ("degF", "°F"),
)  # fmt: skip


TANK = (
    Field("name", later("Name")),
    Field("volume_l", later("Water in use"), "number", measure="volume"),
    Field("kind", later("It holds"), "choice", lambda: (("fish", later("fish")), ("sump", later("no fish: a sump")))),
)
BED = (
    Field("name", later("Name")),
    Field(
        "kind",
        later("Kind"),
        "choice",
        lambda: (("media", later("filled with a medium")), ("raft", later("raft")), ("nft", later("pipes"))),
    ),
    Field("area_m2", later("Area"), "number", measure="area"),
    Field("medium", later("Medium"), "choice", lambda: _maybe("media", later("none, or not listed"))),
    Field("depth_cm", later("Depth of the medium"), "number", measure="depth"),
    Field("water_depth_cm", later("Depth of water, mean"), "number", measure="depth"),
    Field(
        "water_fraction",
        later("Water in that depth"),
        "number",
        help=later("As a share, 0 to 1. Empty: that of the medium."),
    ),
)
KIT = (
    Field("name", later("Name")),
    Field("quantity", later("Tests for"), "choice", _quantities),
    Field(
        "kind",
        later("Kind"),
        "choice",
        lambda: (("drops", later("drops")), ("strip", later("strip")), ("meter", later("meter"))),
    ),
    Field("unit", later("Unit on the card"), "choice", lambda: KIT_UNITS),
    Field("basis", later("The card counts"), "choice", lambda: BASIS),
    Field(
        "steps", later("Steps on the card"), help=later("Copy the numbers, parted by blanks. They become your buttons.")
    ),
    Field("wait_minutes", later("Wait before reading"), "number", unit=later("minutes")),
    Field("low_open", later("lowest step: or less"), "check"),
    Field("high_open", later("highest step: or more"), "check"),
)
FISH = (
    Field("species", later("Fish"), "choice", lambda: _named("species")),
    Field("count", later("How many"), "number"),
    Field("weight_g", later("Weight of one"), "number", measure="mass"),
    Field("on", later("Arrives on"), "date"),
)
WATER = (
    Field("alkalinity_meq_l", later("Alkalinity (KH)"), "number", measure="alkalinity"),
    Field("ph", "pH", "number"),
    Field("free_chlorine_mg_l", later("Free chlorine"), "number", measure="mg_l"),
    Field(
        "chloramine_mg_l",
        later("Chloramine"),
        "number",
        measure="mg_l",
        help=later("0 if the supplier says there is none."),
    ),
)
MORE_WATER = (
    Field("ca_mg_l", later("Calcium"), "number", measure="mg_l"),
    Field("mg_mg_l", later("Magnesium"), "number", measure="mg_l"),
    Field("k_mg_l", later("Potassium"), "number", measure="mg_l"),
    Field("na_mg_l", later("Sodium"), "number", measure="mg_l"),
    Field("cl_mg_l", later("Chloride"), "number", measure="mg_l"),
    Field("so4_s_mg_l", later("Sulfate"), "number", measure="sulfate"),
    Field("no3_n_mg_l", later("Nitrate"), "number", measure="nitrate"),
    Field("p_mg_l", later("Phosphate"), "number", measure="phosphate"),
    Field("fe_mg_l", later("Iron"), "number", measure="mg_l"),
)
AMMONIA = (
    Field("source", later("Ammonia source at hand"), "choice", lambda: _maybe("ammonia_sources", later("none yet"))),
    Field("strength_pct", later("Strength on the label"), "number", measure="percent", help=later("By weight.")),
    Field(
        "density_g_ml",
        later("Density on the label"),
        "number",
        unit="g/mL",
        help=later("Of a liquid, if it is printed."),
    ),
    Field("stock_ml", later("Left, if liquid"), "number", measure="liquid"),
    Field("stock_g", later("Left, if dry"), "number", measure="mass"),
)
MONTH_NAMES = (
    later("January"), later("February"), later("March"), later("April"), later("May"), later("June"), later("July"),
    later("August"), later("September"), later("October"), later("November"), later("December"),
)  # fmt: skip


def _within(prefix: str, fields: tuple[Field, ...]) -> tuple[Field, ...]:
    return tuple(Field(**{**vars(field), "name": prefix + field.name}) for field in fields)


def _months() -> tuple[Field, ...]:
    first = Field(
        "water_temp_c-0",
        later("January"),
        "number",
        measure="temperature",
        help=later("The unit counts for all twelve."),
    )
    return (first, *(Field(f"water_temp_c-{n}", month, "number") for n, month in enumerate(MONTH_NAMES) if n))


QUESTIONS = (
    Question(
        "where",
        later("Where is it?"),
        fields=(
            Field("name", later("Name of the loop")),
            Field(
                "town", later("Nearest town"), "choice", _towns, help=later("Pick the one whose winter is like yours.")
            ),
            Field("place", later("The beds stand"), "picks", lambda: PLACES),
        ),
        more_title=later("Place by figures, time zone"),
        more=(
            Field(
                "latitude_deg",
                later("Latitude"),
                "number",
                unit="°",
                help=later("South is negative. Empty: that of the town."),
            ),
            Field("longitude_deg", later("Longitude"), "number", unit="°", help=later("West is negative.")),
            Field("elevation_m", later("Height above the sea"), "number", measure="length_m"),
            Field("time_zone", later("Time zone"), help=later("Such as Australia/Perth.")),
        ),
    ),
    Question(
        "tanks",
        later("How much water is in it?"),
        later("Fish tanks and sumps. Water in the beds comes next. US and imperial gallons differ by a fifth."),
        lists="tanks",
        add=later("Add a tank"),
        leave=later("Leave this tank out"),
        nth=later("Tank {n}"),
        row=TANK,
        fields=(Field("aeration", later("Air comes from"), "choice", lambda: AERATION),),
    ),
    Question(
        "beds",
        later("What do the plants grow in?"),
        lists="beds",
        add=later("Add a bed"),
        leave=later("Leave this bed out"),
        nth=later("Bed {n}"),
        row=BED,
        care=(HEAVY,),
    ),
    Question(
        "source",
        later("Which water do you add?"),
        later("From your kit or the supplier’s report. Leave empty what you do not know."),
        fields=_within("source_water-", WATER),
        more_title=later("Minerals of the report"),
        more=_within("source_water-", MORE_WATER),
        care=(TAP,),
    ),
    Question(
        "warmth",
        later("How warm is the water?"),
        later("Empty: worked out from the weather. Logged temperatures count more."),
        fields=(Field("heater_set_c", later("Heater is set to"), "number", measure="temperature"),),
        more_title=later("Water month by month"),
        more=_months(),
        care=(MAINS,),
    ),
    Question(
        "start",
        later("How does it start?"),
        fields=(
            Field("startup_path", later("Fish"), "picks", lambda: PATHS),
            Field("started_on", later("Filled on"), "date"),
            Field("seeding", later("Bacteria brought with"), "choice", lambda: SEEDING),
            *_within("ammonia_source-", AMMONIA),
        ),
    ),
    Question(
        "fish",
        later("Which fish, and what do they eat?"),
        later("Fish that are to arrive. Those in the water are in the log."),
        lists="planned_fish",
        add=later("Add a group"),
        leave=later("Leave this group out"),
        nth=later("Group {n}"),
        row=FISH,
        fields=(
            Field("feed", later("Feed"), "choice", lambda: _maybe("feeds", later("not chosen yet"))),
            Field("meals_per_day", later("Meals a day"), "number"),
            Field("planned_feed_g_day", later("Feed a day, once stocked"), "number", measure="mass"),
        ),
        care=(CAUTIONS["fish.law"], CAUTIONS["fish.welfare"]),
    ),
    Question(
        "kits",
        later("What does your test card show?"),
        later("The lists below are neutral. Change them to the numbers printed on your own card."),
        lists="kits",
        add=later("Add a test"),
        leave=later("Leave this test out"),
        nth=later("Test {n}"),
        row=KIT,
        care=(CAUTIONS["kit.reagents"],),
    ),
)
