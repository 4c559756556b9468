"""Ask FoodData Central through a cache on disk: what was fetched in the last month is not asked for again, and works without a line.

Sent are the words looked for, or the number of a food, and the key in a header; nothing of the book. Kept are replies that were read
whole and passed their check, as JSON, without the key.
"""

import hashlib
import logging
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote, urlencode

import requests

from labeller.bringing_in.food_data_central_line import Line, OnlineError
from labeller.bringing_in.food_data_central_settings import Settings, Trouble

CACHE_FILE: Final = "food_data_central.sqlite"
# The tables are renewed twice a year at most, the branded foods apart, which are not taken (FoodData Central, About Us).
FRESH_DAYS: Final = 30
_FEW_LEFT: Final = 20
_LOCK_S: Final = 2.0


@dataclass(frozen=True, slots=True)
class Heard:
    """A reply: its bytes, where it was asked for, and the day it was fetched.

    ``instead_of`` says, where it is an old one, why no newer one came; ``left`` how often the key may still ask in this hour.
    """

    body: bytes
    url: str
    fetched_on: date
    from_cache: bool
    instead_of: Trouble | None = None
    left: int | None = None

    def left_in_words(self) -> str:
        """Say how often the key may still ask, '' where it is not said or often enough."""
        if self.left is None or self.left > _FEW_LEFT:
            return ""
        return f"This key may ask {self.left} more time{'' if self.left == 1 else 's'} in this hour."

    def age_in_words(self, today: date) -> str:
        """Say how old the data are, '' where they came just now."""
        if not self.from_cache:
            return ""
        days = max(0, (today - self.fetched_on).days)
        age = "today" if days == 0 else "yesterday" if days == 1 else f"{days} days ago"
        reason = f" {self.instead_of.problem}" if self.instead_of is not None else ""
        return f"From the cache, fetched on {self.fetched_on.isoformat()} ({age}).{reason} --refresh asks anew."


class _NoAuthorization(requests.auth.AuthBase):
    """Keeps `requests` from looking for passwords in the user's .netrc file."""

    def __call__(self, request: requests.PreparedRequest) -> requests.PreparedRequest:
        return request


def ask(
    settings: Settings,
    path: str,
    question: dict[str, str],
    check: Callable[[bytes], Trouble | None],
    *,
    cache: Path | None,
    today: date,
    refresh: bool = False,
) -> Heard | Trouble:
    """Return the reply to a question, from the cache where it is fresh or nothing newer can be had.

    Parameters
    ----------
    settings : Settings
        The address and the key.
    path : str
        What is asked below the address: ``/foods/search``.
    question : dict
        The parameters.
    check : callable
        Returns what is wrong with the bytes of a reply, or None; only what passes is kept.
    cache : Path, optional
        The folder of the user's cache; None for no cache.
    today : date
        The day of the run.
    refresh : bool
        Ask even where the cache is fresh, and take nothing old.
    """
    url = settings.address + path + (f"?{urlencode(question, quote_via=quote)}" if question else "")
    try:
        _look_at_cache(cache)
        return _ask_with(_session(cache), settings, url, check, today=today, refresh=refresh)
    except (sqlite3.Error, OSError) as reason:
        # A damaged cache is thrown away; one that is locked, or lies where nothing can be written, is passed over.
        if isinstance(reason, sqlite3.DatabaseError) and not isinstance(reason, sqlite3.OperationalError):
            _throw_away(cache)
        return _ask_with(_session(None), settings, url, check, today=today, refresh=refresh)


def _ask_with(
    session: Any, settings: Settings, url: str, check: Callable[[bytes], Trouble | None], *, today: date, refresh: bool
) -> Heard | Trouble:
    with session:
        session.auth = _NoAuthorization()
        session.headers = {"Accept": "application/json", "Accept-Encoding": "gzip", "User-Agent": "labeller"}
        line = Line(settings, check)
        session.mount("https://", line)
        session.mount("http://", line)
        kept = _kept(session, url, check)
        if kept is not None and not refresh and (today - kept.fetched_on).days <= FRESH_DAYS:
            return kept
        renewing = {"force_refresh": True} if hasattr(session, "cache") else {}
        try:
            response = session.get(url, allow_redirects=False, **renewing)
        except OnlineError as reason:
            if kept is not None and not refresh:
                return Heard(kept.body, url, kept.fetched_on, from_cache=True, instead_of=reason.trouble)
            return reason.trouble
        except requests.exceptions.RequestException:
            return Trouble("The question cannot be sent.", "Look at the address and the proxy in the settings.")
        return Heard(response.content, url, today, from_cache=False, left=line.left)


def _session(cache: Path | None) -> Any:
    """Return a session of requests-cache, or one without a cache."""
    if cache is None:
        return requests.Session()
    from requests_cache import NEVER_EXPIRE, CachedSession  # noqa: PLC0415 - takes a tenth of a second

    logging.getLogger("requests_cache").addHandler(logging.NullHandler())
    return CachedSession(
        str(cache / CACHE_FILE),
        backend="sqlite",
        serializer="json",
        decode_content=False,
        expire_after=NEVER_EXPIRE,  # how old is too old is decided here, by the day of the run
        allowable_codes=(200,),
        allowable_methods=("GET",),
        key_fn=lambda request, **_: _key_of(request.url or ""),
    )


def _look_at_cache(cache: Path | None) -> None:
    """Raise where the cache cannot be written to within a moment: the library itself would wait for its lock for ever."""
    if cache is None:
        return
    cache.mkdir(parents=True, exist_ok=True)
    database = sqlite3.connect(cache / CACHE_FILE, timeout=_LOCK_S, isolation_level=None)
    try:
        database.execute("BEGIN IMMEDIATE")
        database.execute("ROLLBACK")
    finally:
        database.close()


def _key_of(url: str) -> str:
    return hashlib.sha256(url.encode("utf-8", "surrogateescape")).hexdigest()


def _kept(session: Any, url: str, check: Callable[[bytes], Trouble | None]) -> Heard | None:
    """Return what the cache holds for an address, None where it holds nothing that passes the check."""
    if not hasattr(session, "cache"):
        return None
    prepared = requests.Request("GET", url).prepare()
    try:
        found = session.cache.get_response(_key_of(prepared.url or ""))
        if found is None or check(found.content) is not None:
            return None
        moment: datetime = found.created_at
    except (sqlite3.Error, OSError):
        raise
    except Exception:  # noqa: BLE001 - whatever a damaged entry makes the library raise, it is passed over
        return None
    moment = moment if moment.tzinfo is not None else moment.replace(tzinfo=UTC)
    return Heard(found.content, url, moment.astimezone().date(), from_cache=True)


def _throw_away(cache: Path | None) -> None:
    if cache is not None:
        for ending in ("", "-journal", "-wal", "-shm"):
            try:
                (cache / f"{CACHE_FILE}{ending}").unlink(missing_ok=True)
            except OSError:
                return
