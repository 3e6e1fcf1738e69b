"""Write ``docs/reference`` from the code and the facts: commands, figures, fish, crops, ranges, relations.

Run with ``python tools/reference.py``; a test holds the pages against what it would write.
"""

from __future__ import annotations

import argparse
import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import rillbed.science
from rillbed import cli, facts
from rillbed.words.numbers import number

FOLDER = Path(__file__).parents[1] / "docs" / "reference"
MADE = "Made by `python tools/reference.py` from the code and its tables; change those, not this page."
GRADES = {
    "published": "read in print",
    "derived": "worked out from what is in print",
    "practice": "common practice, no source",
    "memory": "from memory: given a wide range, never shown as measured, never alone in a decision on safety",
}
FISH = {
    "temp_opt_min_c": "best from °C", "temp_opt_max_c": "to °C", "temp_lethal_low_c": "dies below °C",
    "temp_lethal_high_c": "above °C", "do_target_mg_l": "oxygen mg/L", "protein_growout_min_pct": "protein %",
    "fcr_typical": "feed per gain", "harvest_weight_g": "harvest g", "density_home_max_kg_m3": "most kg/m³",
}  # fmt: skip
CROP = {
    "beginner_rank_1easy_5hard": "ease 1–5", "nutrient_demand": "demand", "season_type": "season",
    "spacing_default_plants_m2": "plants/m²", "air_t_opt_low_c": "best from °C", "air_t_opt_high_c": "to °C",
    "frost_kill_c": "dies at °C", "nursery_days": "days in tray", "first_harvest_days_min": "first picking from day",
    "first_harvest_days_max": "to day", "yield_kg_fresh_m2_per_crop": "kg/m² a crop",
    "n_uptake_g_m2_per_crop": "N g/m² a crop",
}  # fmt: skip
SILENT = (None, False, True, argparse.SUPPRESS)  # defaults that say nothing
HEADS = ("Parameters", "Returns", "Raises", "Notes", "Examples")


def pages() -> dict[str, str]:
    """Every page, by file name."""
    made = {
        "commands.md": commands(), "figures.md": figures(), "fish.md": fish(), "crops.md": crops(),
        "ranges.md": ranges(), "relations.md": relations(),
    }  # fmt: skip
    return {"README.md": contents(made)} | made


def contents(made: dict[str, str]) -> str:
    """List the pages."""
    lines = [f"- [{text.splitlines()[0].removeprefix('# ')}]({name})" for name, text in made.items()]
    grades = [f"- *{grade}*: {meaning}" for grade, meaning in GRADES.items()]
    return _page("Reference", lines, "How sure a figure is:", grades)


def commands() -> str:
    """Every verb of the command line with its options."""
    top = cli.parser()
    verbs = next(one for one in top._actions if isinstance(one, argparse._SubParsersAction))
    about = {one.dest: one.help or "" for one in verbs._choices_actions}
    parts: list[str | Iterable[str]] = []
    for name, verb in verbs.choices.items():
        parts += [f"## rillbed {name}", _sentence(about.get(name, ""))]
        rows = [
            (
                _flags(one),
                "" if one.default in (None, False, True, argparse.SUPPRESS) else f"`{one.default}`",
                one.help or "",
            )
            for one in verb._actions
            if not isinstance(one, argparse._HelpAction)
        ]
        parts.append(_table(("", "default", "what"), rows) if rows else "No options.")
    return _page("Commands", *parts)


def _flags(one: argparse.Action) -> str:
    name = one.metavar if isinstance(one.metavar, str) else one.dest.upper()
    if one.choices:
        name = "|".join(map(str, one.choices))
    if not one.option_strings:
        return f"`{name}`"
    takes = "" if one.nargs == 0 else f" {name}"
    return f"`{', '.join(one.option_strings)}{takes}`"


def figures() -> str:
    """Every single figure with its unit, range, grade and source."""
    groups: dict[str, list[Sequence[str]]] = {}
    for one in facts.facts().values():
        value = number(one.value, 6) if isinstance(one.value, int | float) else str(one.value)
        ends = "" if one.low is None or one.high is None else f"{number(one.low, 4)} to {number(one.high, 4)}"
        row = (f"`{one.id}`", _with(value, one.unit), ends, one.grade, _cited(one.source, one.at))
        groups.setdefault(one.id.split(".")[0], []).append(row)
    parts: list[str | Iterable[str]] = []
    for name, rows in sorted(groups.items()):
        parts += [f"## {name}", _table(("figure", "value", "range", "grade", "source"), rows)]
    return _page("Figures", *parts)


def fish() -> str:
    """Species with the columns most asked for."""
    rows = [
        (one.common_name, f"*{one.scientific_name}*", *(_cell(getattr(one, key)) for key in FISH),
         one.temp_origin.grade, _cited(one.temp_origin.source))
        for one in facts.species().values()
    ]  # fmt: skip
    heads = ("fish", "species", *FISH.values(), "grade of temperatures", "their source")
    note = "Ask the fisheries authority which fish may be kept where you live; pages show what is known of each."
    return _page("Fish", note, _table(heads, rows))


def crops() -> str:
    """Crops with the columns most asked for."""
    rows = [
        (one.common_name, f"*{one.scientific_name}*", *(_cell(getattr(one, key)) for key in CROP),
         one.air_temp_origin.grade, one.yield_origin.grade, _cited(one.air_temp_origin.source))
        for one in facts.crops().values()
    ]  # fmt: skip
    heads = ("crop", "species", *CROP.values(), "grade of temperatures", "of yield", "source of temperatures")
    return _page("Crops", _table(heads, rows))


def ranges() -> str:
    """What the members of an ensemble differ in, before any reading."""
    rows = [
        (f"`{one.key}`", _with(number(one.median, 4), one.unit), number(one.ln_sd, 3), one.grade, one.why)
        for one in facts.priors().values()
    ]
    note = "A median and the standard deviation of its logarithm; readings of a loop narrow them."
    return _page("Ranges nobody knows better yet", note, _table(("what", "median", "ln sd", "grade", "why"), rows))


def relations() -> str:
    """Every relation of the science layer, with what it takes, gives and rests on."""
    parts: list[str | Iterable[str]] = []
    for _, name, _ in pkgutil.iter_modules(rillbed.science.__path__):
        module = importlib.import_module(f"rillbed.science.{name}")
        known = [
            (key, thing)
            for key, thing in vars(module).items()
            if inspect.isfunction(thing) and thing.__module__ == module.__name__ and not key.startswith("_")
            and "Parameters" in (thing.__doc__ or "")
        ]  # fmt: skip
        if known:
            parts += [f"## {name}", " ".join((module.__doc__ or "").split())]
        for key, thing in known:
            parts += _relation(key, thing)
    return _page("Relations of the science layer", *parts)


def _relation(key: str, thing: object) -> Iterator[str]:
    told = inspect.signature(thing).parameters.values()  # type: ignore[arg-type]
    takes = ", ".join(p.name if p.default is p.empty else f"{p.name}={p.default}" for p in told)
    parts = _sections(inspect.getdoc(thing) or "")
    yield f"### {key}({takes})"
    yield parts[""]
    if "Parameters" in parts:
        yield "\n".join(_items(parts["Parameters"]))
    if "Returns" in parts:
        yield f"Gives {' '.join(parts['Returns'].split())}"
    if "Notes" in parts:
        yield " ".join(parts["Notes"].split())


def _sections(text: str) -> dict[str, str]:
    found = re.split(rf"^({'|'.join(HEADS)})\n-+\n", text, flags=re.M)
    pairs = zip(found[1::2], found[2::2], strict=True)
    return {"": " ".join(found[0].split())} | {head: body.strip("\n") for head, body in pairs}


def _items(text: str) -> Iterator[str]:
    for block in re.split(r"\n(?=\S)", text):
        head, _, body = block.partition("\n")
        name, _, kind = head.partition(" : ")
        yield f"- `{name}`: {' '.join(body.split()) or kind}"


def _cited(keys: Iterable[str], at: str = "") -> str:
    known = facts.sources()
    told = [f"{known[key].title} ({known[key].year})" for key in keys]
    return "; ".join(told) + (f", {at}" if at and told else "")


def _with(value: str, unit: str) -> str:
    return value if unit in ("", "1") else f"{value} {unit}"


def _cell(value: object) -> str:
    if isinstance(value, float):
        return number(value, 3)
    return "" if value is None else str(value)


def _sentence(text: str) -> str:
    text = text[:1].upper() + text[1:]
    return text if not text or text.endswith(".") else f"{text}."


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join(
        "| " + " | ".join(cell.replace("|", "\\|").replace("\n", " ") for cell in row) + " |" for row in lines
    )


def _page(title: str, *parts: str | Iterable[str]) -> str:
    texts = [part if isinstance(part, str) else "\n".join(part) for part in (f"# {title}", MADE, *parts)]
    return "\n\n".join(text.rstrip() for text in texts if text) + "\n"


if __name__ == "__main__":
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, text in pages().items():
        (FOLDER / name).write_text(text, encoding="utf-8")
