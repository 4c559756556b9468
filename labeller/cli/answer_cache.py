"""What was worked out of a book is kept in the user's cache folder, so that the next question is answered at once.

A file of the cache is named by all that its facts depend on: the names and bytes of the book's files, this tool and its reference data,
the jurisdiction and the day. It is written whole or not at all, bears its own checksum and name, and is never believed without them;
what is damaged, foreign or out of date is passed over and worked out anew. ``LABELLER_CACHE`` names another folder, or is ``off``.
"""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from labeller import __version__
from labeller.book.files import read_files
from labeller.cli.reading_beside import ReadBeside, read_beside
from labeller.cli.saying import today
from labeller.foundations.places import reference_data_folder

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from datetime import date

    from labeller.book.files import BookFiles
    from labeller.declarations.facts import BookFacts

VARIABLE = "LABELLER_CACHE"
ENDING, HALF_WRITTEN = ".facts", ".part"
KEPT_FILES = 24
KEPT_BYTES = 60_000_000
ABANDONED_AFTER_S = 3600.0
_LONGEST_S = 60  # after which a copy that keeps facts is ended, whatever it waits for
_MAGIC = b"labeller facts 1\n"
_DIGEST_BYTES = 32
# The rooms whose code decides what is kept; a change in any of them makes every older file a stranger.
_ROOMS = ("foundations", "book", "composition", "allergens", "kitchen", "jurisdictions", "declarations", "cli")


class _Digest(Protocol):
    def update(self, data: bytes | memoryview, /) -> None: ...
    def digest(self) -> bytes: ...
    def hexdigest(self) -> str: ...


_to_keep: list[Callable[[], None]] = []


def facts_of_book(
    book: Path, jurisdiction: str | None, on: date | None, *, json_out: bool = False, in_a_hurry: bool = False
) -> BookFacts:
    """Return the facts of a book, from the cache where they are there; else they are worked out, and kept by `keep_now`.

    ``in_a_hurry`` lets a second process read the book while this one gets ready to work it out.

    Raises
    ------
    SystemExit
        With code 1 where the book has faults, which are printed, all of them; 2 where the call is wrong.
    """
    folder = cache_folder()
    files = read_files(book) if book.exists() else None
    key = None
    if folder is not None and files is not None and not files.faults:
        key = key_of(files, jurisdiction, on or today())
    if folder is not None and key is not None:
        kept = _read(folder, key)
        if kept is not None:
            return kept
    beside = read_beside(files) if in_a_hurry and files is not None else None
    found = _worked_out(book, jurisdiction, on, json_out=json_out, files=files, beside=beside)
    if folder is not None and key is not None:
        named, place = key, folder
        _to_keep[:] = [lambda: _keep(place, named, found)]
    return found


def _worked_out(
    book: Path,
    jurisdiction: str | None,
    on: date | None,
    *,
    json_out: bool,
    files: BookFiles | None,
    beside: ReadBeside | None,
) -> BookFacts:
    from labeller.cli.opening import open_book

    return open_book(book, jurisdiction, on, json_out=json_out, files=files, beside=beside).declarer.facts


def cache_folder() -> Path | None:
    """Return the folder of the cache, None where there is to be none.

    Notes
    -----
    Where the user's caches lie is what platformdirs says; its rule stands here by hand because its import takes a tenth of an answer's
    time. A test holds the two together.
    """
    named = os.environ.get(VARIABLE)
    if named is not None:
        return None if named.strip().lower() in ("", "off", "no", "0") else Path(named).absolute()
    if sys.platform == "win32":
        from platformdirs import user_cache_path

        return user_cache_path("labeller", appauthor=False)
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches" / "labeller"
    base = os.environ.get("XDG_CACHE_HOME", "").strip()
    return (Path(base) if base else Path.home() / ".cache") / "labeller"


def key_of(files: BookFiles, jurisdiction: str | None, on: date) -> str | None:
    """Return the name of all that the facts of a book depend on; None where it cannot be told."""
    digest = _digest()
    try:
        ours = list(_fingerprint())
    except OSError:
        return None
    about = (__version__, sys.version, sys.byteorder, jurisdiction or "", on.isoformat(), today().isoformat(), *ours)
    for text in about:
        raw = text.encode("utf-8", "surrogateescape")
        digest.update(b"%d:" % len(raw))
        digest.update(raw)
    digest.update(b"book:")
    for path, content in files.raw.items():
        raw = path.encode("utf-8", "surrogateescape")
        digest.update(b"%d:%d:" % (len(raw), len(content)))
        digest.update(raw)
        digest.update(content)
    return digest.hexdigest()


def _digest() -> _Digest:
    """Return a cryptographic checksum of 32 bytes; the library's module for all of them takes longer to load than to use."""
    try:
        from _blake2 import blake2b
    except ImportError:
        from hashlib import blake2b
    return blake2b(digest_size=_DIGEST_BYTES)


def _fingerprint() -> Iterator[str]:
    """Name every file of the reference data and of our own code, with its size and the moment it was written."""
    package = Path(__file__).parents[1]
    yield from _stamps(str(reference_data_folder()))
    for room in _ROOMS:
        yield from _stamps(f"{package}{os.sep}{room}")


def _stamps(folder: str) -> Iterator[str]:
    with os.scandir(folder) as found:
        entries = sorted(found, key=lambda one: one.name)
    for entry in entries:
        if entry.name.startswith((".", "__pycache__")):
            continue
        if entry.is_dir():
            yield from _stamps(entry.path)
        else:
            seen = entry.stat()
            yield f"{entry.path} {seen.st_size} {seen.st_mtime_ns}"


# -- the file ---------------------------------------------------------------------------------------------------------------


def as_file(key: str, sections: Mapping[str, bytes]) -> bytes:
    """Return the bytes of a file of the cache: its checksum, its name, a table of its sections, the sections."""
    import json

    table: dict[str, tuple[int, int]] = {}
    body = bytearray()
    for name, content in sections.items():
        body.extend(bytes(-len(body) % 8))  # arrays of doubles begin at a multiple of their size
        table[name] = (len(body), len(content))
        body.extend(content)
    head = json.dumps({"key": key, "sections": table}).encode()
    head += b" " * (-(len(_MAGIC) + _DIGEST_BYTES + 8 + len(head)) % 8)
    rest = b"%08d" % len(head) + head + bytes(body)
    digest = _digest()
    digest.update(rest)
    return _MAGIC + digest.digest() + rest


def sections_of(key: str, content: bytes) -> dict[str, memoryview] | None:
    """Return the sections of a file of the cache; None where it is damaged, cut short, or another's."""
    import json

    start = len(_MAGIC) + _DIGEST_BYTES
    if not content.startswith(_MAGIC) or len(content) < start + 8:
        return None
    view = memoryview(content)
    digest = _digest()
    digest.update(view[start:])
    if digest.digest() != content[len(_MAGIC) : start]:
        return None
    begins = start + 8 + int(content[start : start + 8])
    head = json.loads(content[start + 8 : begins])
    if head["key"] != key:
        return None
    return {name: view[begins + at : begins + at + length] for name, (at, length) in head["sections"].items()}


def _read(folder: Path, key: str) -> BookFacts | None:
    """Return what was kept under a name; whatever is wrong with it, it counts as not there."""
    try:
        with (folder / f"{key}{ENDING}").open("rb") as file:
            if hasattr(os, "geteuid") and os.fstat(file.fileno()).st_uid != os.geteuid():
                return None  # in a folder that others may write to, somebody else's file says what they like
            sections = sections_of(key, file.read())
        if sections is None:
            return None
        from labeller.declarations.facts_packed import PackedFacts

        return PackedFacts(sections)
    except Exception:  # noqa: BLE001 - a file of the cache is never worth a fault
        return None


# -- keeping ----------------------------------------------------------------------------------------------------------------


def keep_now() -> None:
    """Keep what this run worked out; who cannot write works without a cache."""
    if _to_keep and _folder_is_there():
        _keep_all()


def _folder_is_there() -> bool:
    """Make the folder of the cache; False where there is none to be had."""
    folder = cache_folder()
    try:
        if folder is None:
            return False
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError:
        return False
    return True


def _keep_all() -> None:
    while _to_keep:
        _to_keep.pop()()


def keep_after_the_answer() -> None:
    """Keep what this run worked out in a process of its own, so that nobody at the table waits for it."""
    # The folder is made here and not by the copy, which must not bring one back that is taken away when this process has ended.
    if not _to_keep or not _folder_is_there():
        return
    if not hasattr(os, "fork"):
        _keep_all()
        return
    try:
        if os.fork():
            return
    except OSError:
        return
    # The copy holds nothing of the caller's open: who reads our output must see its end when the answer is out.
    try:
        os.setsid()
        silence = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(silence, stream)
        os.closerange(3, 4096)
        os.nice(10)  # the next question comes first
        signal.alarm(_LONGEST_S)
        _keep_all()
    finally:
        os._exit(0)


def _keep(folder: Path, key: str, facts: BookFacts) -> None:
    """Write the facts of a book whole, by a file of another name that then takes its place."""
    from labeller.declarations.facts_of_book import WorkedOut
    from labeller.declarations.facts_packing import packed

    if not isinstance(facts, WorkedOut):
        return
    half = folder / f"{key}.{os.getpid()}{HALF_WRITTEN}"
    try:
        content = as_file(key, packed(facts))
        if len(content) > KEPT_BYTES:
            return
        handle = os.open(half, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            half.replace(folder / f"{key}{ENDING}")
        except BaseException:
            half.unlink(missing_ok=True)
            raise
        clear_old(folder)
    except Exception:  # noqa: BLE001 - what cannot be kept is worked out anew
        return


def clear_old(folder: Path) -> None:
    """Take away the oldest files of the cache beyond what is kept, and what a run that was ended left half written."""
    import time

    with os.scandir(folder) as entries:
        found = [(entry.stat(), entry) for entry in entries if entry.name.endswith((ENDING, HALF_WRITTEN))]
    found.sort(key=lambda one: -one[0].st_mtime)
    files, total = 0, 0
    for seen, entry in found:
        if entry.name.endswith(HALF_WRITTEN):
            gone = time.time() - seen.st_mtime > ABANDONED_AFTER_S
        else:
            files, total = files + 1, total + seen.st_size
            gone = files > KEPT_FILES or (files > 1 and total > KEPT_BYTES)
        if gone:
            Path(entry.path).unlink(missing_ok=True)
