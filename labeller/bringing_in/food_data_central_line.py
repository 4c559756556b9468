"""The line to FoodData Central: one question over the network, bounded in time, size and tries, the key only in a header.

The key is set on a copy of the request that leaves this module with nobody, so that neither a cache nor a message can hold it. What
comes back is a plain reply made of bytes that were read to the end and passed the caller's check; everything else is `OnlineError`.
"""

import threading
import time
import zlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime
from io import BytesIO
from typing import Any, Final, TypeVar
from urllib.parse import urljoin, urlsplit

import requests
import urllib3
from requests.adapters import HTTPAdapter

from labeller.bringing_in.food_data_central_settings import KEY_VARIABLE, NO_KEY, SIGN_UP, Settings, Trouble

T = TypeVar("T")
LARGEST_REPLY_BYTES: Final = 8_000_000
_MOST_REDIRECTS: Final = 3
_PIECE_BYTES: Final = 65_536
_BUSY: Final = frozenset({429, 500, 502, 503, 504})


@dataclass(frozen=True, slots=True)
class Patience:
    """How long we wait: to be connected, for the next bytes, for everything together, between tries. [s]"""

    connect_s: float = 5.0
    read_s: float = 20.0
    total_s: float = 60.0
    first_wait_s: float = 1.0
    longest_wait_s: float = 20.0
    tries: int = 3


PATIENCE = Patience()


class OnlineError(Exception):
    """What went wrong on the line; ``again`` where another try may help, after ``wait_s`` where the other side said so."""

    def __init__(self, trouble: Trouble, *, again: bool = False, wait_s: float | None = None) -> None:
        super().__init__(trouble.problem)
        self.trouble, self.again, self.wait_s = trouble, again, wait_s


@dataclass(frozen=True, slots=True)
class _Reply:
    status: int
    headers: Mapping[str, str]
    body: bytes


class Line(HTTPAdapter):
    """An adapter of `requests` that asks one address, and passes on nothing but what it has read whole and checked.

    Parameters
    ----------
    settings : Settings
        The address and the key.
    check : callable
        Gets the bytes of a reply and returns what is wrong with them, or None.
    """

    def __init__(
        self, settings: Settings, check: Callable[[bytes], Trouble | None], patience: Patience | None = None
    ) -> None:
        super().__init__()
        self.settings, self.check, self.patience = settings, check, patience or PATIENCE
        self.left: int | None = None  # how often the key may still ask in this hour, as the last reply said

    def send(
        self,
        request: requests.PreparedRequest,
        stream: bool = False,
        timeout: Any = None,
        verify: bool | str = True,
        cert: Any = None,
        proxies: Any = None,
    ) -> requests.Response:
        """Send one question and return the checked reply; raises `OnlineError`."""
        del stream, timeout
        if not self.settings.key:
            raise OnlineError(NO_KEY)
        ends = time.monotonic() + self.patience.total_s
        wait_s = self.patience.first_wait_s
        for tried in range(1, self.patience.tries + 1):
            try:
                reply = self._once(request, ends, verify=verify, cert=cert, proxies=proxies)
                break
            except OnlineError as reason:
                pause_s = reason.wait_s if reason.wait_s is not None else wait_s
                too_long = pause_s > self.patience.longest_wait_s or time.monotonic() + pause_s >= ends
                if not reason.again or tried == self.patience.tries or too_long:
                    raise
                time.sleep(pause_s)
                wait_s *= 2.0
        raw = urllib3.HTTPResponse(
            body=BytesIO(reply.body),
            headers={"Content-Type": "application/json"},
            status=reply.status,
            preload_content=False,
            request_url=request.url,
        )
        return self.build_response(request, raw)

    def _once(self, request: requests.PreparedRequest, ends: float, **how: Any) -> _Reply:
        """Ask once, on a thread of its own: names looked up, headers and bytes that trickle in end with the time as well."""
        left_s = ends - time.monotonic()
        stop = threading.Event()
        try:
            reply = _within(left_s, lambda: self._converse(request, left_s, stop, **how), stop)
        except requests.exceptions.SSLError:
            raise OnlineError(
                _trouble(
                    "The line to '{}' is not to be trusted: its certificate does not hold.",
                    self._host,
                    "Look at this machine's date and network; nothing was sent.",
                )
            ) from None
        except (requests.exceptions.Timeout, urllib3.exceptions.TimeoutError):
            raise OnlineError(
                _trouble("'{}' does not answer in time.", self._host, "Try again later."), again=True
            ) from None
        except (requests.exceptions.ConnectionError, urllib3.exceptions.HTTPError, OSError):
            raise OnlineError(
                _trouble(
                    "'{}' cannot be reached, or the line broke off.", self._host, "Look at the network, and try again."
                ),
                again=True,
            ) from None
        except requests.exceptions.RequestException:
            raise OnlineError(
                _trouble("'{}' cannot be asked.", self._host, "Look at the address and the proxy in the settings.")
            ) from None
        left = _header(reply.headers, "x-ratelimit-remaining")
        self.left = int(left) if left.isascii() and left.isdigit() and len(left) < 9 else None
        self._refuse_status(reply, request)
        self._refuse_body(reply)
        return reply

    @property
    def _host(self) -> str:
        return urlsplit(self.settings.address).hostname or ""

    def _converse(self, request: requests.PreparedRequest, left_s: float, stop: threading.Event, **how: Any) -> _Reply:
        url = request.url or ""
        for _ in range(_MOST_REDIRECTS + 1):
            outgoing = request.copy()
            outgoing.url = url
            outgoing.headers["X-Api-Key"] = self.settings.key
            limits = (min(self.patience.connect_s, left_s), min(self.patience.read_s, left_s))
            response = super().send(outgoing, stream=True, timeout=limits, **how)
            try:
                if response.status_code not in (301, 302, 303, 307, 308):
                    return _Reply(response.status_code, dict(response.headers), _read_whole(response, stop))
                url = self._sent_on(url, response.headers.get("Location", ""))
            finally:
                response.close()
        raise OnlineError(_trouble("'{}' sends us round in circles.", self._host, "Try again later."))

    def _sent_on(self, url: str, location: str) -> str:
        """Return where a reply sends us on to, if that is the same machine over the same kind of line; the key goes nowhere else."""
        target, same, host = "", False, ""
        try:
            target = urljoin(url, location)
            same = _place(target) == _place(url)
            host = urlsplit(target).hostname or ""
        except ValueError:
            same = False
        if not same or not location:
            shown = "".join(letter for letter in host if letter.isprintable())[:80]
            raise OnlineError(
                Trouble(
                    f"'{self._host}' sends us on to '{shown}', another place, where the key does not go.",
                    "Look at the address in the settings; nothing was taken from there.",
                )
            )
        return target

    def _refuse_status(self, reply: _Reply, request: requests.PreparedRequest) -> None:
        """Raise for every status but 200, in words."""
        status = reply.status
        if status == 200:
            return
        if status in (401, 403):
            raise OnlineError(
                Trouble(
                    f"FoodData Central refuses the key ({status}).",
                    f"Look at {KEY_VARIABLE} or the settings again; a new key, free of charge: {SIGN_UP}",
                    wrong_call=True,
                )
            )
        if status == 404:
            what = "has no food of that number" if "/food/" in (request.url or "") else "is not there"
            raise OnlineError(
                Trouble(
                    f"FoodData Central {what}.",
                    "'labeller foods WORDS --online' finds numbers; look at the address in the settings too.",
                    wrong_call=True,
                )
            )
        if status == 429:
            raise OnlineError(_rate_limit(reply.headers), again=True, wait_s=_retry_after(reply.headers))
        if status in _BUSY:
            trouble = Trouble(f"FoodData Central cannot answer just now ({status}).", "Try again later.")
            raise OnlineError(trouble, again=True, wait_s=_retry_after(reply.headers))
        if status == 400:
            raise OnlineError(
                Trouble("FoodData Central does not understand the question (400).", "Write other, plainer words.")
            )
        raise OnlineError(Trouble(f"FoodData Central answers with {status}, not with foods.", "Try again later."))

    def _refuse_body(self, reply: _Reply) -> None:
        plain = _header(reply.headers, "content-type").partition(";")[0].strip().casefold()
        if plain != "application/json" and not plain.endswith("+json"):
            shown = "a web page" if "html" in plain else f"'{plain[:40]}'" if plain.isprintable() and plain else "none"
            raise OnlineError(
                _trouble(
                    f"'{{}}' answers with {shown} where data in JSON belong.",
                    self._host,
                    "A sign-in page of the network may stand in between: open a web page first, or try again later.",
                )
            )
        if len(self.settings.key) > 8 and self.settings.key.encode() in reply.body:
            raise OnlineError(
                _trouble("'{}' repeats the key in its answer, which is not kept.", self._host, "Try again later.")
            )
        wrong = self.check(reply.body)
        if wrong is not None:
            raise OnlineError(wrong)


def _header(headers: Mapping[str, str], name: str) -> str:
    return next((value.strip() for key, value in headers.items() if key.casefold() == name), "")


def _trouble(problem: str, host: str, mend: str) -> Trouble:
    return Trouble(problem.format(host), mend)


def _place(url: str) -> tuple[str, str | None, int | None]:
    parts = urlsplit(url)
    return parts.scheme, parts.hostname, parts.port or {"https": 443, "http": 80}.get(parts.scheme)


def _within(seconds: float, work: Callable[[], T], stop: threading.Event) -> T:
    """Return what ``work`` returns, or raise what it raises; give up after so many seconds, however it hangs."""
    done: list[T] = []
    failed: list[BaseException] = []

    def run() -> None:
        try:
            done.append(work())
        except BaseException as reason:  # noqa: BLE001 - raised again on the thread that waits
            failed.append(reason)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    thread.join(max(0.0, seconds))
    if thread.is_alive():
        stop.set()
        raise requests.exceptions.Timeout
    if failed:
        raise failed[0]
    return done[0]


def _read_whole(response: requests.Response, stop: threading.Event) -> bytes:
    """Return the body, unpacked, no longer than `LARGEST_REPLY_BYTES` either packed or unpacked."""
    too_large = OnlineError(
        Trouble(
            f"The answer is larger than {LARGEST_REPLY_BYTES // 1_000_000} MB, more than any food needs.",
            "Write more words, or look at the address in the settings.",
        )
    )
    packing = response.headers.get("Content-Encoding", "identity").strip().casefold()
    unpack = zlib.decompressobj(16 + zlib.MAX_WBITS) if packing == "gzip" else None
    if unpack is None and packing not in ("", "identity"):
        raise OnlineError(Trouble("The answer is packed in a way nobody asked for.", "Try again later."))
    body = bytearray()
    read = 0
    while not stop.is_set():
        piece: bytes = response.raw.read(_PIECE_BYTES, decode_content=False)
        if not piece:
            break
        read += len(piece)
        if read > LARGEST_REPLY_BYTES:
            raise too_large
        if unpack is not None:
            try:
                piece = unpack.decompress(piece, LARGEST_REPLY_BYTES + 1 - len(body))
            except zlib.error:
                raise OnlineError(
                    Trouble("The answer is packed, and the packing is broken.", "Try again later."), again=True
                ) from None
        body += piece
        if len(body) > LARGEST_REPLY_BYTES:
            raise too_large
    if unpack is not None and not unpack.eof:
        raise OnlineError(Trouble("The answer broke off half-way.", "Try again later."), again=True)
    return bytes(body)


def _retry_after(headers: Mapping[str, str]) -> float | None:
    """Return how long the other side asks us to wait, given as seconds or as a time (RFC 9110, 10.2.3). [s]"""
    text = _header(headers, "retry-after")
    if text.isascii() and text.isdigit():
        return float(text[:9])
    try:
        moment = parsedate_to_datetime(text)
    except (TypeError, ValueError):
        return None
    moment = moment if moment.tzinfo is not None else moment.replace(tzinfo=UTC)
    return max(0.0, (moment - datetime.now(UTC)).total_seconds())


def _rate_limit(headers: Mapping[str, str]) -> Trouble:
    """Say that the key was used too often, with what the reply says of the limit."""
    limit = _header(headers, "x-ratelimit-limit")
    allowed = f" It may ask {limit} times an hour." if limit.isascii() and limit.isdigit() and len(limit) < 9 else ""
    wait_s = _retry_after(headers)
    when = "in an hour" if wait_s is None or wait_s > 3000 else f"in {max(1, round(wait_s / 60))} min"
    return Trouble(
        f"FoodData Central was asked too often with this key.{allowed}",
        f"Try again {when}; what was fetched before is still there. DEMO_KEY may ask very seldom: a key of your own is free, {SIGN_UP}",
    )
