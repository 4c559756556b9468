"""Where FoodData Central is asked and with which key: from the environment, else from a settings file of the user's own.

``FDC_API_KEY`` and ``FDC_API_URL`` win over the file. ``LABELLER_SETTINGS`` names another file, or is ``off``. The key is never shown,
not even in a fault about it.
"""

import ipaddress
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

from labeller.book import yaml_tree
from labeller.foundations.names import fold_text

KEY_VARIABLE: Final = "FDC_API_KEY"
ADDRESS_VARIABLE: Final = "FDC_API_URL"
FILE_VARIABLE: Final = "LABELLER_SETTINGS"
ADDRESS: Final = "https://api.nal.usda.gov/fdc/v1"
SIGN_UP: Final = "https://fdc.nal.usda.gov/api-key-signup"
_KEY: Final = re.compile(r"[A-Za-z0-9_.~-]{1,200}")
_LARGEST_FILE_BYTES: Final = 100_000


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why nothing came of it: what we saw, the mend, and whether the call was wrong (exit code 2) rather than the answer (1)."""

    problem: str
    mend: str
    wrong_call: bool = False

    def as_text(self) -> str:
        """Return the two lines people read."""
        return f"{self.problem}\n    {self.mend}"


@dataclass(frozen=True, slots=True)
class Settings:
    """The address of the tables, without a slash at its end, and the key; ``repr`` never shows the key."""

    address: str = ADDRESS
    key: str = field(default="", repr=False)


NO_KEY: Final = Trouble(
    "FoodData Central answers only with a key, and none is set.",
    f"Get one, free of charge, at {SIGN_UP} and set {KEY_VARIABLE} in the environment. For a first try {KEY_VARIABLE}=DEMO_KEY does, a few times an hour.",
    wrong_call=True,
)


def settings_file(environment: Mapping[str, str]) -> Path | None:
    """Return the path of the user's settings, whether or not it is there; None where there is to be none."""
    named = environment.get(FILE_VARIABLE)
    if named is not None:
        return None if named.strip().casefold() in ("", "off", "no", "0") else Path(named)
    from platformdirs import user_config_path  # noqa: PLC0415 - only commands that go online need it

    return user_config_path("labeller", appauthor=False) / "settings.yaml"


def read_settings(environment: Mapping[str, str]) -> Settings | Trouble:
    """Return the settings, or what is wrong with them.

    Parameters
    ----------
    environment : Mapping
        The variables of the process.
    """
    path = settings_file(environment)
    written: dict[str, str] = {}
    if path is not None and path.is_file():
        found = _read_file(path)
        if isinstance(found, Trouble):
            return found
        written = found
    address, place = environment.get(ADDRESS_VARIABLE, "").strip(), ADDRESS_VARIABLE
    if not address:
        address, place = written.get("address", ADDRESS), f"{path}: address"
    wrong = _wrong_address(address)
    if wrong:
        return Trouble(
            f"{place}: '{_shown(address)}' {wrong}.", f"Write it as {ADDRESS}, or leave it out.", wrong_call=True
        )
    key, place = environment.get(KEY_VARIABLE, "").strip(), KEY_VARIABLE
    if not key:
        key, place = written.get("key", ""), f"{path}: key"
    if key and not _KEY.fullmatch(key):
        return Trouble(
            f"{place}: what stands there has letters that no key has.",
            f"Copy the key again from the letter of {SIGN_UP}, without quotes or spaces.",
            wrong_call=True,
        )
    return Settings(address.rstrip("/"), key)


def _read_file(path: Path) -> dict[str, str] | Trouble:
    """Return ``key`` and ``address`` as the file has them. No fault quotes a value: it may be the key."""
    try:
        raw = path.read_bytes()[: _LARGEST_FILE_BYTES + 1]
        text = raw.decode("utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return Trouble(f"'{path}' cannot be read as UTF-8 text.", "Mend it, or take it away.")
    documents, faults = yaml_tree.parse_tree(text, path.name) if len(raw) <= _LARGEST_FILE_BYTES else ([], [])
    shape = "Write it as\n        food_data_central:\n          key: YOUR KEY"
    if faults:
        return Trouble(f"{path}:{faults[0].origin.line}: this is not YAML as it should be.", shape)
    documents = [one for one in documents if not (isinstance(one, yaml_tree.Scalar) and not one.text.strip())]
    if not documents:
        return {}
    top = documents[0]
    if len(documents) > 1 or not isinstance(top, yaml_tree.Mapping):
        return Trouble(f"{path}:{documents[-1].line}: these are no settings.", shape)
    for name, value in top.pairs:
        if fold_text(name.text).replace("_", " ") != "food data central":
            continue
        if not isinstance(value, yaml_tree.Mapping):
            return Trouble(f"{path}:{name.line}: food_data_central: 'key:' and 'address:' stand below it.", shape)
        found = {}
        for inner, held in value.pairs:
            word = fold_text(inner.text)
            if word not in ("key", "address") or not isinstance(held, yaml_tree.Scalar):
                return Trouble(
                    f"{path}:{inner.line}: food_data_central: only 'key:' and 'address:' can stand here.", shape
                )
            found[word] = held.text.strip()
        return found
    return {}


def _wrong_address(address: str) -> str:
    """Return why an address is not one that a key may be sent to, or ''."""
    try:
        parts = urlsplit(address)
        host, _ = parts.hostname or "", parts.port
    except ValueError:
        return "is not an address"
    if parts.scheme not in ("https", "http") or not host or any(letter.isspace() for letter in address):
        return "is not an address that begins with https://"
    if parts.username is not None or parts.password is not None:
        return "has a name or password in it, which would be seen wherever the address is"
    if parts.query or parts.fragment:
        return "has a question or a mark behind it"
    if parts.scheme == "http" and not is_this_machine(host):
        return "is not encrypted: the key would be readable on the way"
    return ""


def is_this_machine(host: str) -> bool:
    """Tell whether a host is this machine itself, where nothing goes over a line that others can read."""
    if host.casefold() == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _shown(address: str) -> str:
    """Return an address fit to be shown: without what stands before an @."""
    return "".join(letter for letter in address.rpartition("@")[2] if letter.isprintable())[:120]
