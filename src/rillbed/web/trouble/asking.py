"""What one can say about trouble: kinds of it to begin with, and every clue in groups, as presses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from rillbed.facts import trouble as table
from rillbed.tongue import later, tr
from rillbed.words import trouble as words

BEGIN = (
    (later("Fish gasp at the surface"), {"gasping": "all"}),
    (later("Fish are dying"), {"dying": "overnight"}),
    (later("Fish do not eat"), {"eating": "no"}),
    (later("The power is off"), {"power": "off"}),
    (later("The pump stands still"), {"pump": "stopped"}),
    (later("The water is green"), {"colour": "green"}),
    (later("The level falls"), {"level": "falling"}),
    (later("Something was sprayed"), {"spray": "pesticide"}),
    (later("It gets very hot"), {"room": "heat"}),
    (later("Frost is coming"), {"room": "frost"}),
    (later("Leaves turn yellow"), {"pattern": "even_yellow"}),
)
GROUPS = (
    (
        later("The fish"),
        ("dying", "gasping", "gasping_when", "eating", "behaviour", "gills", "marks", "who", "missing_fish"),
    ),
    (later("The water"), ("colour", "smell", "level", "leftovers", "sludge", "sun", "daily_swing", "rebound")),
    (later("Power, pumps, air"), ("power", "pump", "air", "heater", "room")),
    (
        later("What was done"),
        ("change", "source", "feed", "more_load", "new_fish", "washed", "medicine", "spray", "acid", "base", "metal",
         "kit", "iron_given", "seeded", "proven"),
    ),
    (later("The plants"), ("leaf", "pattern", "roots", "light", "pests", "transplanted", "fizz")),
)  # fmt: skip


@dataclass(frozen=True)
class Press:
    """One answer: its code, how one says it, and whether it is pressed."""

    value: str
    label: str
    pressed: bool


@dataclass(frozen=True)
class Asked:
    """One clue with its answers."""

    code: str
    text: str
    answers: tuple[Press, ...]


@dataclass(frozen=True)
class Group:
    """Clues of one kind; open where one of them was answered."""

    title: str
    clues: tuple[Asked, ...]
    open: bool


def begin() -> list[tuple[str, str]]:
    """Give the kinds of trouble to begin with: how one says it, and the query that says so."""
    return [(tr(label), urlencode(_known(seen))) for label, seen in BEGIN]


def groups(seen: Mapping[str, str]) -> list[Group]:
    """Give every clue that one can see, in groups."""
    made = []
    for title, codes in GROUPS:
        clues = tuple(asked(code, seen) for code in codes if code in table.clues())
        made.append(Group(tr(title), clues, any(clue.code in seen for clue in clues)))
    return made


def asked(code: str, seen: Mapping[str, str]) -> Asked:
    """Give one clue as presses."""
    answers = table.clues()[code].answers
    presses = tuple(Press(answer, words.clue(code, answer)[1], seen.get(code) == answer) for answer in answers)
    return Asked(code, words.clue(code, answers[0])[0], presses)


def said(seen: Mapping[str, str]) -> list[tuple[str, str, str]]:
    """Give what was said: question, answer, and the query without it."""
    rows = []
    for code, answer in seen.items():
        text, shown = words.clue(code, answer)
        rows.append((words.label(text), shown, urlencode({k: v for k, v in seen.items() if k != code})))
    return rows


def _known(seen: Mapping[str, str]) -> dict[str, str]:
    """Hold a kind of trouble to the table: a clue or answer that is gone must not be asked."""
    for code, answer in seen.items():
        if answer not in table.clues()[code].answers:
            raise KeyError(f"{code}: {answer} is not an answer; allowed {', '.join(table.clues()[code].answers)}")
    return dict(seen)
