"""A loop as a zip of tables and back, and zips from anywhere, opened without believing them."""

import csv
import io
import random
import struct
import zipfile
from datetime import UTC, date, datetime
from uuid import UUID

import pytest
from benchmarks.spoil import opened, spoiled

from rillbed.garden.example import load
from rillbed.garden.exchange import archive
from rillbed.garden.exchange.archive import packed, unpacked
from rillbed.garden.exchange.cells import AMOUNT, HEAD, UNIT, columns, entries_of, fields, table
from rillbed.garden.log import PAYLOADS, LogEntry
from rillbed.garden.logcsv import log_to_csv
from rillbed.garden.logfile import log_to_jsonl

SYSTEM, ENTRIES = load(date(2031, 5, 22))
NUMBER = UUID(int=7)


def entry(kind: str, payload: dict[str, object], **more: object) -> LogEntry:
    told = {"uuid": NUMBER, "at": datetime(2031, 5, 1, 8, tzinfo=UTC), "kind": kind, "payload": payload}
    return LogEntry.make(told | more)


def zipped(files: dict[str, bytes | str], kind: int = zipfile.ZIP_DEFLATED) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", kind) as made:
        for name, data in files.items():
            made.writestr(name, data)
    return out.getvalue()


GOOD = packed(SYSTEM, ENTRIES, "0")


def test_a_loop_comes_back_as_it_was() -> None:
    found = unpacked(GOOD)
    assert found.faults == ()
    assert found.system == SYSTEM
    assert sorted(found.entries, key=lambda one: one.uuid) == sorted(ENTRIES, key=lambda one: one.uuid)
    assert packed(SYSTEM, ENTRIES, "0") == GOOD


def test_every_kind_has_its_columns_and_none_is_named_twice() -> None:
    for kind in PAYLOADS:
        assert len(set(columns(kind))) == len(columns(kind)), kind
        assert columns(kind)[: len(HEAD)] == HEAD
    assert fields("feeding")["amount"] == AMOUNT
    assert "amount" + UNIT in columns("feeding")


def test_the_older_forms_of_a_log_are_read_as_well() -> None:
    for text in (log_to_csv(ENTRIES), log_to_jsonl(ENTRIES)):
        assert len(unpacked(text.encode()).entries) == len(ENTRIES)


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@x", "'tis", "''", "＝1", 'a,b\n"c"', "é 魚", "-", "1,5"])
def test_text_is_no_formula_for_a_spreadsheet_and_comes_back(text: str) -> None:
    one = entry("note", {"text": text}, author=text)
    made = table("note", [one])
    for row in csv.DictReader(io.StringIO(made)):
        assert row["text"][0] not in "=+-@\t\r＝", row
        assert row["author"][0] not in "=+-@\t\r＝", row
    found, faults = entries_of("note", made, "log/note.csv")
    assert not faults
    assert found[0][1] == one


def test_a_negative_number_stays_a_number() -> None:
    one = entry("temperature", {"value": -3.5, "where": "air", "unit": "degC"})
    made = table("temperature", [one])
    assert ",-3.5," in made
    assert entries_of("temperature", made, "x")[0][0][1] == one


def test_every_fault_is_told_with_row_field_value_and_what_is_allowed() -> None:
    rows = [
        "uuid,at,feed,amount,amount_unit",
        f"{UUID(int=1)},2031-05-01T08:00:00Z,pellet_32,12,g",
        f"{UUID(int=2)},yesterday,pellet_32,12,g",
        f"{UUID(int=3)},2031-05-01T08:00:00Z,moon dust,12,g",
        f"{UUID(int=4)},2031-05-01T08:00:00Z,pellet_32,-12,g",
        f"{UUID(int=5)},2031-05-01T08:00:00Z,pellet_32,,g",
        ",2031-05-01T08:00:00Z,pellet_32,12,g",
    ]
    found, faults = entries_of("feeding", "\n".join(rows), "log/feeding.csv")
    assert len(found) == 1
    places = [(one.row, one.field) for one in faults]
    assert places == [
        (3, "at"),
        (4, "feed"),
        (5, "amount"),
        (6, "amount"),
        (7, "uuid"),
    ]
    assert all(one.allowed and one.line().startswith("log/feeding.csv, row ") for one in faults)


def test_a_spreadsheet_with_semicolons_and_decimal_commas_is_read() -> None:
    text = f"uuid;at;feed;amount;amount_unit\n{NUMBER};2031-05-01T08:00:00Z;pellet_32;12,5;g\n"
    found, faults = entries_of("feeding", text, "x")
    assert not faults
    assert found[0][1].payload.amount.value == 12.5


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("uuid,at,luck\n1,2031-05-01T08:00:00Z,x\n", "columns"),
        ("at,text\n2031-05-01T08:00:00Z,x\n", "columns"),
        ("uuid,at,text\n1,2031-05-01T08:00:00Z\n", "cells"),
        ('uuid,at,text\n1,2031-05-01T08:00:00Z,"x\n', "row"),
    ],
)
def test_a_table_that_is_broken_is_named(text: str, field: str) -> None:
    _, faults = entries_of("note", text, "x")
    assert faults[-1].field == field


def test_a_log_file_says_its_line() -> None:
    text = log_to_csv(ENTRIES[1:3]).replace(ENTRIES[2].at.isoformat(), "yesterday")
    fault = unpacked(text.encode(), "log.csv").faults[0]
    assert fault.file.startswith("log.csv, line ")
    assert fault.field == "at"
    assert "offset" in fault.allowed


HEAD_FILE = 'format = "garden/1"\n'
BAD = {
    "no zip": b"PK\x03\x04 nothing more",
    "cut": GOOD[: len(GOOD) // 2],
    "no head": zipped({"system.toml": "name = 1"}),
    "newer": zipped({"garden.toml": 'format = "garden/2"\n'}),
    "other": zipped({"garden.toml": 'format = "x"\n'}),
    "not toml": zipped({"garden.toml": "="}),
    "up": zipped({"garden.toml": HEAD_FILE, "../log/note.csv": ""}),
    "root": zipped({"garden.toml": HEAD_FILE, "/etc/passwd": "x"}),
    "back": zipped({"garden.toml": HEAD_FILE, "log\\note.csv": "x"}),
    "unknown": zipped({"garden.toml": HEAD_FILE, "log/luck.csv": "x"}),
    "latin": zipped({"garden.toml": HEAD_FILE, "log/note.csv": "uuid,at,text\n1,2031,é".encode("latin-1")}),
    "utf-16": zipped({"garden.toml": HEAD_FILE, "log/note.csv": "uuid,at,text\n".encode("utf-16")}),
    "lzma": zipped({"garden.toml": HEAD_FILE}, zipfile.ZIP_LZMA),
    "bzip": zipped({"garden.toml": HEAD_FILE}, zipfile.ZIP_BZIP2),
    "missing rows": zipped(opened(GOOD) | {"log/reading.csv": b"uuid,at\n"}),
    "latin log": "entry,at\né".encode("latin-1"),
    "utf-16 log": "entry,at".encode("utf-16"),
    "nothing": b"",
    "nul": b"\x00" * 100,
    "deep": b'{"a":' * 50_000,
}


@pytest.mark.parametrize("name", BAD)
def test_what_is_no_such_file_is_refused_in_words(name: str) -> None:
    found = unpacked(BAD[name], "file")
    assert found.faults, name
    assert all(one.field and one.allowed for one in found.faults)


def test_a_bomb_is_not_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    bomb = zipped({"garden.toml": HEAD_FILE, "log/note.csv": b"0" * (archive.MOST_UNPACKED + 10)})
    assert len(bomb) < 200_000
    assert [one.field for one in unpacked(bomb).faults] == ["size"]
    # A zip that lies about the size of what is in it: the reader stops at its own limit.
    place = bomb.rfind(b"PK\x01\x02")
    lying = bytearray(bomb)
    struct.pack_into("<I", lying, place + 24, 10)
    assert unpacked(bytes(lying)).faults
    monkeypatch.setattr(archive, "MOST_BYTES", 10)
    assert [one.field for one in unpacked(GOOD).faults] == ["size"]


def test_a_file_twice_or_locked_is_refused() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        made.writestr("garden.toml", HEAD_FILE)
        with pytest.warns(UserWarning, match="Duplicate"):
            made.writestr("garden.toml", HEAD_FILE)
    assert "once" in unpacked(out.getvalue()).faults[0].allowed
    locked = bytearray(zipped({"garden.toml": HEAD_FILE}))
    locked[locked.rfind(b"PK\x01\x02") + 8] |= 1
    assert unpacked(bytes(locked)).faults


def test_spoiled_files_are_read_or_refused_and_never_a_fault_of_ours() -> None:
    dice = random.Random(20310522)
    refused = 0
    few = packed(SYSTEM, [one for n, one in enumerate(ENTRIES) if n % 12 == 0], "0")
    for _ in range(200):
        refused += bool(unpacked(spoiled(few, dice)).faults)
    assert refused > 100
