"""How a text stands in the house form: in quotes only where it needs them; a supplier's statement always."""

import re
from functools import cache
from typing import Final, Literal

import yaml

Where = Literal["value", "item", "flow", "key", "flow key"]

_Loader: type = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
_AROUND: Final[dict[Where, str]] = {
    "value": "k: {}\n",
    "item": "- {}\n",
    "flow": "[{}, k]\n",
    "key": "{}: v\n",
    "flow key": "{{{}: v}}\n",
}
_RESOLVER: Final = yaml.resolver.Resolver()
_NUMBER_1_2: Final = re.compile(r"[-+]?(?:0o[0-7]+|0x[0-9a-fA-F]+|(?:\.\d+|\d+(?:\.\d*)?)(?:[eE][-+]?\d+)?)")
_ODD: Final = re.compile("[\x00-\x1f\x7f\x85\xa0\u2028\u2029\ufeff]")


@cache
def stands_plain(text: str, where: Where) -> bool:
    """Tell whether a text without quotes is read as this very text, by readers of YAML 1.1 and 1.2 alike."""
    if not text or text != text.strip() or _ODD.search(text) or _NUMBER_1_2.fullmatch(text):
        return False
    if _RESOLVER.resolve(yaml.ScalarNode, text, (True, False)) != "tag:yaml.org,2002:str":  # type: ignore[no-untyped-call]  # the library has no types for it
        return False
    try:
        events = [
            (one.value, one.style or "")
            for one in yaml.parse(_AROUND[where].format(text), Loader=_Loader)
            if isinstance(one, yaml.ScalarEvent)
        ]
    except yaml.YAMLError:
        return False
    wanted = {"value": 1, "item": 0, "flow": 0, "key": 0, "flow key": 0}[where]
    return len(events) == (1 if where == "item" else 2) and events[wanted] == (text, "")


def in_quotes(text: str, written: str) -> str:
    """Return a text in double quotes, in single ones where it has a quote or a backslash; ``written`` where neither will do."""
    if _ODD.search(text) or (written.startswith('"') and "\\" in written):
        return written
    if '"' in text or "\\" in text:
        return "'" + text.replace("'", "''") + "'"
    return f'"{text}"'
