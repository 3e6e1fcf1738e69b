"""``rillbed check``: what is the matter, what to do first, what not to do, and what to find out next."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path

from rich.console import Console

from rillbed.cli.options import add_day, add_verb, give
from rillbed.garden.errors import GardenError
from rillbed.garden.files import read_log, read_system
from rillbed.garden.texts import text_of, toml_of
from rillbed.plan.trouble import Case, Triage, case_of, triage
from rillbed.plan.trouble.rows import Rows
from rillbed.plan.trouble.sheet import Sheet, sheet
from rillbed.words import trouble as words
from rillbed.words.cautions import cautions
from rillbed.words.happened import happened
from rillbed.words.plain import to_json
from rillbed.words.trouble_told import with_words


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    verb = add_verb(
        verbs, "check", "what is the matter and what to do first, from whatever is known",
        "rillbed check case.toml --json, or rillbed check system.toml --log log.csv --see gasping=all",
    )  # fmt: skip
    verb.add_argument("file", type=Path, metavar="FILE", help="case file with [system], [[log]], [[see]], or a system")
    verb.add_argument("--log", type=Path, metavar="LOG", help="log file (CSV or JSON lines)")
    verb.add_argument("--see", action="append", default=[], metavar="CODE=VALUE", help="what you see; may be repeated")
    verb.add_argument("--sheet", action="store_true", help="print the sheet to show to somebody who knows")
    add_day(verb)
    verb.set_defaults(run=execute)


def execute(args: argparse.Namespace) -> int:
    """Answer and print."""
    case = read(args)
    if args.sheet:
        page = sheet(case)
        return give(args, page, show_sheet)
    answer = triage(case.system, case.entries, on=case.on, assumed=case.assumed)
    if args.json:
        print(to_json(with_words(answer)))
    else:
        show(answer, Console())
    return 0


def read(args: argparse.Namespace) -> Case:
    """Read a case file, or a system file with its log, and what --see adds.

    Raises
    ------
    GardenError
        Naming field, value and what is allowed.
    """
    data = toml_of(text_of(args.file), str(args.file))
    if "tanks" in data and "system" not in data:
        system = read_system(args.file)
        entries = tuple(read_log(args.log)) if args.log else ()
        on = args.on if args.on is not None else date.today()
        rows = Rows(system, "", ())
        case = Case(system, entries, on)
    else:
        case = case_of(data)
        rows = Rows(case.system, "", ())
        if args.on is not None:
            case = Case(case.system, case.entries, args.on, case.assumed)
    for place, text in enumerate(args.see):
        code, equals, value = text.partition("=")
        if not equals:
            raise GardenError(f"--see {text}", text, "write code=value, e.g. gasping=all")
        rows.see({"code": code.strip(), "value": _typed(value), "at": case.on}, f"--see.{place}")
    return Case(case.system, (*case.entries, *rows.entries), case.on, case.assumed)


def _typed(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text.strip()


def show(answer: Triage, out: Console) -> None:
    """Print the answer in the order of safety."""

    def put(text: str, lead: str = "") -> None:
        out.print(f"{lead}{text}", highlight=False, markup=False)

    for item in answer.contradictions:
        put(words.said(item), "These do not fit: ")
    if not answer.findings:
        put("Nothing points to trouble from what is known.")
    for number, action in enumerate(answer.actions, start=1):
        put(words.do(action), f"{number}. ")
        for row in action.details:
            if "tank" in row:
                put(words.tank(row), "   ")
    if answer.findings:
        put("\nWhat it may be")
        for found in answer.findings:
            put(words.found(found), " - ")
            for reason in found.evidence_for[:2]:
                put(words.said(reason), "     for: ")
    for item in answer.hidden:
        put(words.said(item), " - ")
    if answer.refusals:
        put("\nWhat not to do")
        for refusal in answer.refusals:
            put(words.refused(refusal), " - ")
    if answer.findings:
        put(words.asked(answer.question), "\nFind out next: ")
    if answer.question.interim and answer.question.clue:
        put(f"Meanwhile, whatever the answer: {words.interim(answer.question.interim)}.")
    for test in answer.next_tests:
        put(words.next_test(test), "Then: ")
    for text in cautions(answer.cautions):
        put(text, "Caution: ")


def show_sheet(page: Sheet, out: Console) -> None:
    """Print the sheet."""
    for name, value in page.intake:
        out.print(f"{name}: {value}", highlight=False, markup=False)
    for quantity, points in page.series.items():
        shown = ", ".join(f"{point.on:%d %b} {point.shown}" for point in points)
        out.print(f"{quantity}: {shown}", highlight=False, markup=False)
    for on, entry in page.events:
        out.print(f"{on:%d %b}: {happened(entry)}", highlight=False, markup=False)
