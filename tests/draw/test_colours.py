"""WCAG 2.2 contrast (1.4.3: 4.5 for text; 1.4.11: 3 for lines), computed from the style sheet's own tokens."""

import re
from pathlib import Path

import pytest

import rillbed

SHEETS = Path(rillbed.__file__).parent / "web" / "static" / "rillbed"
RULES = re.sub(r"/\*.*?\*/", "", (SHEETS / "tokens.css").read_text(), flags=re.S)
BLOCKS = re.findall(r"(:root[^{]*)\{([^{}]*)\}", RULES)


def tokens(selector):
    body = next(body for name, body in BLOCKS if name.strip() == selector)
    return dict(re.findall(r"(--[\w-]+):\s*(#[0-9a-f]{6})", body))


THEMES = {"light": tokens(":root"), "dark": tokens(':root[data-theme="dark"]')}
STREAMS = ("water", "fish", "plant", "life", "air")
TEXT = [
    ("--ink", "--page"),
    ("--ink", "--ground"),
    ("--soft", "--page"),
    ("--soft", "--ground"),
    ("--link", "--page"),
    ("--link", "--ground"),
    ("--on-marker", "--marker"),
    ("--page", "--ink"),
    ("--page", "--water"),
]
TEXT += [(f"--{s}", "--page") for s in STREAMS] + [("--ink", f"--{s}-2") for s in STREAMS]
LINES = [("--edge", "--page"), ("--edge", "--ground"), ("--focus", "--page")]
LINES += [(f"--{s}", f"--{s}-{n}") for s in STREAMS for n in (1, 2)]


def luminance(colour):
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a, b):
    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_formula_black_on_white_is_21():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("theme", THEMES.values(), ids=THEMES.keys())
@pytest.mark.parametrize(("pairs", "least"), [(TEXT, 4.5), (LINES, 3.0)], ids=["text", "lines"])
def test_contrast(theme, pairs, least):
    assert {f"{a} on {b}": contrast(theme[a], theme[b]) for a, b in pairs if contrast(theme[a], theme[b]) < least} == {}


def test_dark_values_stand_twice_and_are_equal():
    system = tokens(':root:not([data-theme="light"])')
    assert system == THEMES["dark"]
    assert system.keys() == THEMES["light"].keys()


def test_sheets_load_nothing_from_elsewhere():
    for sheet in SHEETS.glob("*.css"):
        text = sheet.read_text()
        assert "http" not in text
        for target in re.findall(r'url\("([^"]+)"\)', text):
            assert (SHEETS / target).is_file()


def test_every_token_used_is_defined():
    text = "".join(sheet.read_text() for sheet in SHEETS.glob("*.css"))
    assert set(re.findall(r"var\((--[\w-]+)\)", text)) <= set(re.findall(r"(--[\w-]+):", text))


def test_print_replaces_every_colour_so_that_dark_never_reaches_paper():
    printed = re.findall(r"(--[\w-]+):\s*#", (SHEETS / "print.css").read_text())
    assert THEMES["light"].keys() <= set(printed)
