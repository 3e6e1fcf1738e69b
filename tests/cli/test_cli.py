import json
import re

import pytest

from rillbed.cli import main
from rillbed.words.cautions import CAUTIONS
from rillbed.words.learned_phrases import REASONS as LEARNED
from rillbed.words.numbers import chance, number
from rillbed.words.phrases import REASONS, TITLES


def ask(capsys, *argv):
    code = main([str(item) for item in argv])
    out = capsys.readouterr()
    return code, out.out, out.err


@pytest.mark.parametrize("verb", ["today", "forecast", "room"])
def test_json_is_the_same_every_time(files, capsys, verb):
    argv = (verb, files, "--on", "2031-04-03", "--members", "60", "--json")
    code, first, _ = ask(capsys, *argv)
    assert code == 0
    assert json.loads(first)["on"] == "2031-04-03"
    assert ask(capsys, *argv)[1] == first


def test_today_of_a_new_fishless_loop_asks_for_the_first_dose(files, capsys):
    code, out, _ = ask(capsys, "today", files, "--on", "2031-04-03", "--members", "60")
    assert code == 0
    assert "ammonium chloride" in out
    assert "bleach" in out
    assert "holds no readings yet" in " ".join(out.split())


def test_forecast_says_where_a_start_up_stands_as_today_does(files, capsys):
    argv = (files, "--on", "2031-04-03", "--members", "60")
    code, out, _ = ask(capsys, "forecast", *argv)
    assert code == 0
    lines = " ".join(out.split())
    assert "Ready from" in lines
    assert "g of feed a day now" in lines
    told = json.loads(ask(capsys, "forecast", *argv, "--json")[1])
    now = json.loads(ask(capsys, "today", *argv, "--json")[1])
    assert told["cycling"] == now["cycling"]
    assert told["start"] == now["start"]
    assert told["start"]["expected"][0]["quantity"] == "tan"


def test_dose_prints_grams_for_the_volume_asked(files, capsys):
    code, out, _ = ask(capsys, "dose", files, "--rise", "1", "--litres", "1000", "--json")
    assert code == 0
    assert json.loads(out)["amount"] == pytest.approx(3.82, abs=0.006)


@pytest.mark.parametrize(
    ("change", "named"),
    [(("volume_l = 900", "volume_l = -9"), "volume_l"), (("format = 1", "format = 99"), "format")],
)
def test_a_bad_system_is_one_line_on_stderr_and_exit_2(files, system_text, capsys, change, named):
    files.write_text(system_text.replace(*change))
    code, out, err = ask(capsys, "today", files, "--on", "2031-04-03")
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert named in err


def test_a_missing_file_and_an_unknown_source_are_named(files, capsys):
    code, _, err = ask(capsys, "today", files.with_name("nowhere.toml"))
    assert code == 2
    assert "nowhere.toml" in err
    code, _, err = ask(capsys, "dose", files, "--source", "moonshine")
    assert code == 2
    assert "moonshine" in err


def test_a_wrong_date_or_confidence_ends_with_2(files, capsys):
    for argv in (["today", str(files), "--on", "2031-13-40"], ["room", str(files), "--confidence", "2"]):
        with pytest.raises(SystemExit) as end:
            main(argv)
        assert end.value.code == 2
    assert "confidence" in capsys.readouterr().err


LIVED = """entry,at,kind,author,supersedes,field,value,unit,low,high
11111111-1111-4111-8111-111111111111,2031-04-02T08:00:00Z,fish_in,you,,species,nile_tilapia,,,
11111111-1111-4111-8111-111111111111,2031-04-02T08:00:00Z,fish_in,you,,count,12,,,
11111111-1111-4111-8111-111111111111,2031-04-02T08:00:00Z,fish_in,you,,weight,30,g,,
22222222-2222-4222-8222-222222222222,2031-04-02T09:00:00Z,reading,you,,no3,,mg/L,10,20
"""


@pytest.fixture
def lived(files, system_text):
    files.write_text(system_text.replace('"fishless"', '"running"'))
    log = files.with_name("log.csv")
    log.write_text(LIVED)
    return files, log


def figures(value):
    """Every figure of an answer, in any of the forms words give it."""
    if isinstance(value, dict):
        return set().union(*(figures(item) for item in value.values()), set())
    if isinstance(value, list):
        return set().union(*(figures(item) for item in value), {str(len(value))})
    if isinstance(value, bool) or value is None:
        return set()
    if isinstance(value, str):
        return set(re.findall(r"\d+", value)) | {part.lstrip("0") for part in re.findall(r"\d+", value)}
    return {number(value), number(value, 3), str(value), number(10 * value), chance(min(max(value, 0.0), 1.0))[6:7]}


@pytest.mark.parametrize("verb", ["today", "room", "forecast", "dose"])
def test_json_holds_every_figure_that_is_printed(lived, capsys, verb):
    system, log = lived
    argv = (verb, system) if verb == "dose" else (verb, system, "--log", log, "--on", "2031-04-05", "--members", "60")
    text, told = ask(capsys, *argv)[1], json.loads(ask(capsys, *argv, "--json")[1])
    # Figures that stand in the phrases themselves, and "<0.01" and the like of the tables.
    phrases = " ".join((*TITLES.values(), *REASONS.values(), *LEARNED.values(), *CAUTIONS.values()))
    fixed = set(re.findall(r"\d+(?:\.\d+)?", phrases)) | {"8", "10", "0.01"}
    shown = re.findall(r"(?<![\w.])\d+(?:\.\d+)?", text)
    assert len(shown) >= 5
    known = figures(told) | fixed | {str(place) for place in range(1, 1 + len(told.get("advice", ())))}
    assert {figure for figure in shown if figure not in known} == set()


@pytest.mark.parametrize("verb", ["today", "forecast", "room", "dose", "demo", "serve"])
def test_help_says_what_a_verb_does_and_shows_one_line_of_it(capsys, verb):
    with pytest.raises(SystemExit) as end:
        main([verb, "--help"])
    out = " ".join(capsys.readouterr().out.split())
    assert end.value.code == 0
    assert f"Example: rillbed {verb}" in out


def test_another_seed_gives_other_futures_and_the_same_seed_the_same(lived, capsys):
    argv = ("room", *lived[:1], "--log", lived[1], "--on", "2031-04-05", "--members", "50", "--json", "--seed")
    first, again, other = (ask(capsys, *argv, seed)[1] for seed in ("1", "1", "2"))
    assert first == again != other


def test_a_spinner_is_shown_only_where_someone_watches(files, capsys, monkeypatch):
    assert ask(capsys, "room", files, "--on", "2031-04-03", "--members", "50")[2] == ""
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("FORCE_COLOR", "1")
    assert "Made-up loop" in ask(capsys, "room", files, "--on", "2031-04-03", "--members", "50")[2]


def test_a_change_shows_both_futures_and_the_difference(lived, capsys, tmp_path):
    change = tmp_path / "change.toml"
    change.write_text('name = "Half the feed"\nfeed_share = 0.5\n')
    argv = (
        "forecast",
        lived[0],
        "--log",
        lived[1],
        "--on",
        "2031-04-05",
        "--members",
        "50",
        "--quick",
        "--with",
        change,
    )
    code, out, _ = ask(capsys, *argv, "--days", "28")
    assert code == 0
    assert "Half the feed" in out
    assert "lower" in out
    told = json.loads(ask(capsys, *argv, "--days", "28", "--json")[1])
    assert [item["column"] for item in told["effects"]][:2] == ["o2_min_mg_l", "tan_mg_l"]
    assert len(told["weeks"]["no3_mg_l"]) == 5
    change.write_text("feed_share = 9\n")
    code, _, err = ask(capsys, *argv)
    assert code == 2
    assert "feed_share" in err
