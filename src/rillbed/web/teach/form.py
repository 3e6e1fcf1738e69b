"""The five sliders, and the settings in a link."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass

from django.core import signing

from rillbed.garden.errors import GardenError
from rillbed.plan.lesson import RANGES, SEEDS, Settings
from rillbed.tongue import later, tr
from rillbed.web.setup.measures import number, whole
from rillbed.words import lesson as said

SALT = "rillbed.lesson"
LINK_DAYS = 60
DAY_S = 86400


@dataclass(frozen=True)
class Slider:
    """One thing to slide."""

    name: str
    label: str
    note: str
    low: str
    high: str
    step: str
    value: str
    words: str


SLIDERS = (
    ("temp_c", later("Water"), "1", later("Bacteria double their pace in about eight degrees.")),
    ("feed_g_day", later("Feed"), "5", later("About a twentieth of it is nitrogen.")),
    ("fish", later("Fish of 80 g"), "1", later("What they leave uneaten turns to ammonia.")),
    ("bed_m2", later("Bed"), "0.5", later("Lettuce, planted on day 0 and again when it is picked.")),
)


def settings_of(typed: Mapping[str, str]) -> Settings:
    """Read the settings of an address; what is missing is that of the lesson.

    Raises
    ------
    GardenError
        For a value that is no number or out of its range.
    """
    plain = Settings()
    data: dict[str, float | int | str] = {}
    for name in RANGES:
        text = typed.get(name, "").strip()
        if not text:
            continue
        data[name] = whole(name, text) if name == "fish" else number(name, text)
    for name in ("seed", "bed_kind"):
        if typed.get(name):
            data[name] = typed[name]
    return Settings(**(asdict(plain) | data))


def sliders(settings: Settings) -> tuple[Slider, ...]:
    """Give the sliders as they stand."""
    out = []
    for name, label, step, note in SLIDERS:
        low, high = (f"{end:g}" for end in RANGES[name])
        shown = f"{getattr(settings, name):g}"
        out.append(Slider(name, tr(label), tr(note), low, high, step, shown, said.value(settings, name)))
    return tuple(out)


def seeds(settings: Settings) -> tuple[tuple[str, str, bool], ...]:
    """Give the seeds of bacteria on offer."""
    return tuple((key, tr(said.SEEDS[key]), key == settings.seed) for key in SEEDS)


def token_of(settings: Settings) -> str:
    """Sign settings, so that a link opens this lesson and nothing else, for `LINK_DAYS`."""
    return signing.dumps(asdict(settings), salt=SALT, compress=True)


def opened(token: str) -> Settings | None:
    """Read a signed link; None for one that is not ours or too old."""
    try:
        told = signing.loads(token, salt=SALT, max_age=LINK_DAYS * DAY_S)
        return Settings(**told)
    except (signing.BadSignature, GardenError, TypeError):
        return None
