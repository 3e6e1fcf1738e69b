"""The loop at a glance: where the nitrogen goes, room for plants seen two ways, and when a start-up is done."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from django.utils.safestring import SafeString, mark_safe

from rillbed import draw, words
from rillbed.draw.spec import Stream
from rillbed.draw.table import short, span
from rillbed.garden.state import LoopState
from rillbed.garden.system import System
from rillbed.plan.answers import CyclingPlan, Room, Today
from rillbed.plan.planting import room_title
from rillbed.tongue import later, tr
from rillbed.web.origins import origin
from rillbed.web.today.why import Why

PLACES_M2 = 22.0  # one place is the space of one lettuce


@dataclass(frozen=True)
class Picture:
    """A picture with its heading, the sentence with the answer, and the rows under it."""

    key: str
    title: str
    answer: str
    picture: SafeString
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()
    why: Why = field(default_factory=lambda: Why((), ()))


def pictures(answer: Today, state: LoopState) -> list[Picture]:
    """Return what there is to show."""
    found = (
        _ready(answer.cycling, answer) if answer.cycling is not None else None,
        _flow(answer),
        _room(answer.room, state.system) if answer.room is not None else None,
    )
    return [replace(picture, why=origin(picture.key, state)) for picture in found if picture is not None]


def _flow(answer: Today) -> Picture | None:
    g = answer.flows_g_n_day
    brought = g["n_feed"] + g["n_dose"]
    if brought <= 0:
        return None
    water = max(0.0, brought - g["n_fish"] - g["n_solids_out"])
    stays = water - g["n_plants"] - g["n_gas"]
    source, told = _source(g["n_feed"], g["n_dose"])
    rows: dict[str, tuple[float, Stream]] = {
        source: (brought, "fish"),
        later("Fish growth"): (g["n_fish"], "fish"),
        later("Solids out"): (g["n_solids_out"], "gas"),
        later("In the water"): (water, "water"),
        later("Plants"): (g["n_plants"], "plant"),
        later("To the air"): (g["n_gas"], "gas"),
        later("Stays") if stays >= 0 else later("Taken from store"): (abs(stays), "water"),
    }
    flows = {name: draw.Flow(tr(name), grams, stream, _grams(grams)) for name, (grams, stream) in rows.items()}
    last = flows[next(reversed(flows))]
    told = told.format(brought=_grams(brought), taken=_grams(g["n_plants"]))
    spec = draw.NitrogenFlow(
        summary=words.say("Nitrogen in one day. {told}", told=told),
        source=flows[source],
        before=tuple(flows[name] for name in ("Fish growth", "Solids out") if flows[name].g_n_day > 0),
        water=flows["In the water"],
        after=(flows["Plants"], *((last,) if stays >= 0 else ()), flows["To the air"]),
    )
    table = tuple((tr(name), words.number(grams)) for name, (grams, _) in rows.items())
    title = tr("Where the nitrogen goes")
    note = tr("Middle of the futures, mean of the last seven days. The wider the stream, the more there is.")
    return Picture(
        "flow", title, told, mark_safe(draw.flow(spec)), (tr("Stream"), tr("g nitrogen a day")), table, (note,)
    )


def _source(feed: float, dose: float) -> tuple[str, str]:
    """Name of what brings the nitrogen, and the sentence about it."""
    if dose <= 0:
        return later("Feed"), tr("Feed brings {brought} a day; plants take {taken} of it.")
    if feed <= 0:
        return later("Ammonia put in"), tr("Ammonia put in brings {brought} a day; plants take {taken} of it.")
    return later("Feed and ammonia"), tr("Feed and ammonia brings {brought} a day; plants take {taken} of it.")


def _grams(value: float) -> str:
    return words.amount(value, "g")


def _room(room: Room, system: System) -> Picture | None:
    if not system.beds:
        return None
    beds = PLACES_M2 * system.bed_area_m2

    def places(plants: float) -> float:
        return plants / room.places_m2 * PLACES_M2

    views = []
    if room.next_batch is not None:
        views.append((tr("Next batch, all elements"), places(room.next_batch), places(room.next_batch_half)))
    views.append((tr("For good, by nitrogen"), PLACES_M2 * room.steady_m2.low, PLACES_M2 * room.steady_m2.high))
    views.append((tr("For good, by feed rule"), PLACES_M2 * room.rule_m2[0], PLACES_M2 * room.rule_m2[1]))
    shown = [(name, low, high, span(low, high, 0)) for name, low, high in views]
    title = words.reason(room_title(room)).rstrip(".")
    told = tr("Rival views side by side, in places: one place is the space of one lettuce.")
    spec = draw.Room(
        summary=f"{title}. "
        + ". ".join(words.say("{view}: {n} places", view=name, n=value) for name, *_, value in shown)
        + ".",
        unit=tr("places"),
        views=tuple(draw.View(name, low, high, value) for name, low, high, value in shown),
        mark=beds,
        mark_label=words.say("beds full, {n}", n=short(beds, 0)),
    )
    rows = tuple((name, value) for name, _, _, value in shown)
    rows = (*rows, (tr("Beds in all"), short(beds, 0)), (tr("Free on the beds"), short(places(room.free_plants), 0)))
    notes = (
        tr(
            "The next batch is what the store in the water and the coming feed carry over one crop's life; "
            "the first figure holds in about 8 futures in 10, the second in half of them."
        ),
    )
    return Picture("room", title, told, mark_safe(draw.room(spec)), (tr("View"), tr("places")), rows, notes)


def _ready(cycling: CyclingPlan, answer: Today) -> Picture | None:
    low, middle, high = cycling.completion
    if cycling.stage == "ready" or middle is None:
        return None
    told = words.say(
        "Between {low:day} and {high:day} in 8 of 10 futures, half of them by {middle:day}.",
        low=low, high=high, middle=middle,
    )  # fmt: skip
    spec = draw.Dots(
        summary=words.say("When the bacteria are ready. {told}", told=told),
        title=tr("One dot is one chance in twenty"),
        days=cycling.dots,
        today=answer.on,
    )
    rows = tuple((words.say("{n} in 20", n=n + 1), words.day(on)) for n, on in enumerate(cycling.dots))
    title, heads = tr("When the bacteria are ready"), (tr("Chance"), tr("ready by"))
    return Picture("ready", title, told, mark_safe(draw.dots(spec)), heads, rows)
