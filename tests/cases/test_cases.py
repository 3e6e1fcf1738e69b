"""Fifteen real stories, fed day by day so that later readings are unseen: every `must` met, no `never` said.

Run as a program it prints the points of each case.
"""

import sys
import tomllib
from pathlib import Path

import pytest

from rillbed.plan.trouble import case_of, triage

FOLDER = Path(__file__).parent
CASES = sorted(path.stem for path in FOLDER.glob("D*.toml"))
URGENT = {"find:suffocation", "find:ammonia_poisoning", "find:nitrite_poisoning", "find:chlorine_poisoning",
          "find:poison", "find:heat_stress"}  # fmt: skip


def answers(name):
    """Each step of a case with the answer to what was known by its end."""
    data = tomllib.loads((FOLDER / f"{name}.toml").read_text("utf-8"))
    for step in data["step"]:
        known = {"system": data["system"], "on": step["day"], "log": [], "see": data.get("see", [])}
        if isinstance(known["see"], list):
            known["see"] = [row for row in known["see"] if row.get("day", 0) < step["day"] + 1]
        for row in data.get("log", []):
            if row.get("day", 0) < step["day"] + 1:
                row = dict(row)
                known["log"].append({k: v for k, v in row.items() if k != "asked"})
                if "asked" in row:
                    seen = {"code": "asked", "value": row["asked"], "day": row["day"]}
                    known["see"] = [*known["see"], seen] if isinstance(known["see"], list) else known["see"]
        case = case_of(known)
        yield step, triage(case.system, case.entries, on=case.on)


def said(answer):
    """Everything an answer says, as codes with the family in front."""
    out = {f"find:{item.code}" for item in answer.findings}
    out |= {f"do:{item.code}" for item in answer.actions}
    out |= {f"amount:{item.code}" for item in answer.actions if item.amount}
    out |= {f"rate:{item.rate.code.removeprefix('rate.')}" for item in answer.actions if item.rate}
    out |= {item.code.replace("refuse.", "refuse:") for item in answer.refusals}
    out |= {item.code.replace("ask.", "ask:") for item in (answer.question, answer.then_ask) if item}
    out |= {item.expect.code.replace("expect.", "expect:") for item in answer.next_tests}
    out |= {item.code.replace("hidden.", "hidden:") for item in answer.hidden}
    out |= {f"caution:{code}" for code in answer.cautions}
    out |= {f"band:{row['code']}.{level}" for row in answer.bands
            for level in ("act", "danger") if row["level"] == "danger" or row["level"] == level}  # fmt: skip
    if answer.actions:
        out.add(f"first:{answer.actions[0].code}")
    if answer.findings:
        for axis in {item.axis for item in answer.findings}:
            best = max((item for item in answer.findings if item.axis == axis), key=lambda item: item.probability)
            out.add(f"top:{best.code}")
    if not out & URGENT:
        out.add("calm:fish")
    for item in answer.actions:
        if item.code == "oxygen.dense_first" and item.details:
            out.add("details:minutes")
            ranked = [row["kg_m3"] for row in item.details]
            if str(item.details[0]["tank"]).startswith("dense") and max(ranked) > 5 * min(ranked):
                out.add("tanks:dense")
        if item.code == "stock.limit" and item.amount and 40 <= item.amount <= 60:
            out.add("most:60")
    return out


def score(name):
    """Points met, points there are, and what was missed or wrongly said."""
    met = total = 0
    wrong = []
    for step, answer in answers(name):
        told = said(answer)
        for item in step["must"]:
            total += 1
            if told & set(item["any"]):
                met += 1
            else:
                wrong.append(f"day {step['day']}: must {item['say']}")
        for code in step["never"]:
            total += 1
            if code in told:
                wrong.append(f"day {step['day']}: never {code}")
            else:
                met += 1
    return met, total, wrong


@pytest.mark.parametrize("name", CASES)
def test_every_must_is_met_and_no_never_said(name):
    met, total, wrong = score(name)
    assert not wrong
    assert met == total >= 6


def test_all_fifteen_are_there():
    assert [f"D{number:02}" for number in range(1, 16)] == CASES


def test_later_readings_are_unseen():
    first, second, _ = (answer for _, answer in answers("D05"))
    assert first.on < second.on
    assert "find:starting_nitrite" in said(second)


if __name__ == "__main__":
    points = {name: score(name) for name in CASES}
    for name, (met, total, wrong) in points.items():
        print(f"{name}  {met}/{total}", *wrong, sep="\n      " if wrong else "  ")
    print(f"all  {sum(p[0] for p in points.values())}/{sum(p[1] for p in points.values())}")
    sys.exit(any(wrong for _, _, wrong in points.values()))
