"""The zip: what is written into it, and how one from anywhere is opened without believing it."""

from __future__ import annotations

import io
import struct
import tomllib
import zipfile
import zlib
from collections.abc import Sequence
from dataclasses import dataclass

from rillbed.garden.errors import FileError, GardenError
from rillbed.garden.exchange.cells import MOST_ERRORS, Fault, entries_of, fault, table
from rillbed.garden.files import parse_system, system_to_toml
from rillbed.garden.log import PAYLOADS, LogEntry
from rillbed.garden.logcsv import log_from_csv
from rillbed.garden.logfile import log_from_jsonl
from rillbed.garden.system import System
from rillbed.tongue import tr

FORMAT = 1
NAME, README, SYSTEM, FOLDER = "garden.toml", "readme.txt", "system.toml", "log/"
MOST_BYTES = 20 * 2**20  # of a file that is taken in
MOST_UNPACKED = 100 * 2**20
KNOWN = {NAME, README, SYSTEM, FOLDER, *(f"{FOLDER}{kind}.csv" for kind in PAYLOADS)}
PLAIN = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
TOLD = """This is one aquaponic loop with its whole log, in format garden/{format}.

system.toml   the loop as last set up
log/KIND.csv  one row for every entry of that kind; open them in any spreadsheet
garden.toml   the format, the version of the program that wrote this, and how many entries there are

Entries are never changed. One that corrects another names it under "supersedes"; a "withdrawn" takes one back. An
amount has two columns, as it was typed: the number, and its unit. Times carry their offset from UTC. Text that a
spreadsheet would take for a formula begins with an apostrophe, which is taken off again on reading. Save as UTF-8.

Take it in again with: rillbed import FILE
"""


@dataclass(frozen=True)
class Package:
    """What a file holds: the loop if it has one, entries with their places, and everything that is wrong.

    Attributes
    ----------
    system : System or None
        As last set up.
    entries : tuple of LogEntry
        In the order of the file.
    places : tuple of (str, int)
        File and row of each entry.
    faults : tuple of Fault
        Empty if it may be taken in.
    """

    system: System | None
    entries: tuple[LogEntry, ...]
    places: tuple[tuple[str, int], ...]
    faults: tuple[Fault, ...] = ()


def packed(system: System, entries: Sequence[LogEntry], version: str) -> bytes:
    """Write a loop with its log; the same loop always gives the same bytes."""
    head = f'format = "garden/{FORMAT}"\nversion = "{version}"\nentries = {len(entries)}\n'
    files = {README: TOLD.format(format=FORMAT), NAME: head, SYSTEM: system_to_toml(system)}
    for kind in PAYLOADS:
        of_kind = [entry for entry in entries if entry.kind == kind]
        if of_kind:
            files[f"{FOLDER}{kind}.csv"] = table(kind, of_kind)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(zipfile.ZipInfo(name), text.encode("utf-8"), zipfile.ZIP_DEFLATED)
    return out.getvalue()


def unpacked(data: bytes, name: str = "file") -> Package:
    """Read a zip, or one log file (CSV or JSON lines); what is wrong is told in full, never raised."""
    try:
        if len(data) > MOST_BYTES:
            raise GardenError("size", len(data), tr("must be at most {n} bytes").format(n=MOST_BYTES))
        if data[:2] == b"PK":
            return _of_files(_opened(data))
        text = decoded(data)
        entries = (log_from_jsonl if text.lstrip().startswith("{") else log_from_csv)(text, name)
        return Package(None, tuple(entries), tuple((name, 0) for _ in entries))
    except GardenError as error:
        place = error.where if isinstance(error, FileError) else name  # a log file says its line
        return Package(None, (), (), (fault(place, 0, error),))
    except RecursionError:
        return Package(None, (), (), (fault(name, 0, GardenError("data", "nested", tr("is nested too deep"))),))


def decoded(data: bytes) -> str:
    """Read UTF-8, with or without its mark.

    Raises
    ------
    GardenError
        For any other encoding, or text that cannot be stored.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        allowed = tr("must be UTF-8; in a spreadsheet, save as CSV UTF-8")
        raise GardenError("encoding", f"byte {error.start} is not UTF-8", allowed) from None
    if "\x00" in text:
        raise GardenError("encoding", "NUL", tr("must be text in UTF-8"))
    return text


def _opened(data: bytes) -> dict[str, bytes]:
    files: dict[str, bytes] = {}
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = archive.infolist()
            if len(infos) > len(KNOWN):
                raise GardenError("files", len(infos), tr("at most {n} are in one").format(n=len(KNOWN)))
            left = MOST_UNPACKED
            for info in infos:
                if info.filename not in KNOWN or info.filename in files:
                    what = tr("must be once") if info.filename in files else tr("is no file of such a zip")
                    raise GardenError("name", info.filename, what)
                if info.flag_bits & 0x1 or info.compress_type not in PLAIN:
                    raise GardenError(info.filename, "locked or packed otherwise", tr("must be stored or deflated"))
                with archive.open(info) as file:
                    # What the zip says of its size is not believed: no more is unpacked than may be.
                    files[info.filename] = file.read(left + 1)
                left -= len(files[info.filename])
                if left < 0:
                    allowed = tr("must be at most {n} bytes together").format(n=MOST_UNPACKED)
                    raise GardenError("size", "unpacked", allowed)
    except (
        zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, OSError, struct.error,
        UnicodeDecodeError, OverflowError, ValueError,
    ) as error:  # fmt: skip
        if isinstance(error, GardenError):
            raise
        raise GardenError(
            "zip", " ".join(str(error).split())[:60] or "damaged", tr("must be a whole zip file")
        ) from None
    return files


def _of_files(files: dict[str, bytes]) -> Package:
    said = _head(files)
    faults: list[Fault] = []
    system = None
    try:
        system = parse_system(decoded(files[SYSTEM]), SYSTEM) if SYSTEM in files else None
    except GardenError as error:
        faults.append(fault(SYSTEM, 0, error))
    entries: list[LogEntry] = []
    places: list[tuple[str, int]] = []
    for kind in PAYLOADS:
        file = f"{FOLDER}{kind}.csv"
        if file not in files or len(faults) >= MOST_ERRORS:
            continue
        try:
            found, wrong = entries_of(kind, decoded(files[file]), file)
        except GardenError as error:
            found, wrong = [], [fault(file, 0, error)]
        faults += wrong
        entries += [entry for _, entry in found]
        places += [(file, row) for row, _ in found]
    if not faults and said is not None and said != len(entries):
        allowed = tr("it was written with {n}; rows are missing or new; take the line away to say so").format(n=said)
        faults.append(Fault(NAME, 0, "entries", str(len(entries)), allowed))
    return Package(system, tuple(entries), tuple(places), tuple(faults[:MOST_ERRORS]))


def _head(files: dict[str, bytes]) -> int | None:
    """Give the number of entries that the zip was written with, if it says so."""
    if NAME not in files:
        raise GardenError(NAME, "nothing", tr("such a zip says its format there"))
    try:
        told = tomllib.loads(decoded(files[NAME]))
    except (ValueError, RecursionError) as error:
        raise GardenError(NAME, str(error), tr("must be TOML")) from None
    found = str(told.get("format", ""))
    number = found.removeprefix("garden/")
    if not found.startswith("garden/") or not (number.isascii() and number.isdecimal() and len(number) < 6):
        raise GardenError("format", found, tr("must be garden/{format}").format(format=FORMAT))
    if int(number) != FORMAT:
        allowed = tr("this program reads up to garden/{n}")
        if int(number) > FORMAT:
            allowed = tr("this program reads up to garden/{n}; a newer one wrote it")
        raise GardenError("format", found, allowed.format(n=FORMAT))
    entries = told.get("entries")
    if entries is not None and (not isinstance(entries, int) or isinstance(entries, bool)):
        raise GardenError("entries", entries, tr("must be a whole number"))
    return entries
