"""What one record holds: every declaration, the words printed beside it, the evidence it rests on, the menus, and the book's own files."""

import json
from dataclasses import dataclass
from typing import Any

from labeller.allergens.evidence import Finding
from labeller.book.entries import Ingredient
from labeller.composition.table import PREFIX
from labeller.declarations.as_json import declaration_as_json
from labeller.declarations.declaring import Declaration, Declarer
from labeller.foundations.names import fold_text
from labeller.record.faults_of_file import damaged
from labeller.record.printed_words import words_of_dish, words_of_given, words_of_opened
from labeller.record.record_file import Entry, RecordReader, sha256_of
from labeller.record.tool import tool_in_use

Json = dict[str, Any]
Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Content:
    """What is declared of a book by one law.

    Attributes
    ----------
    law : dict
        ``code`` and ``title`` of the jurisdiction.
    tool : dict
        Version and hashes of what declared, as `tool_in_use`.
    kitchen : dict
        Name, address, language and shared equipment.
    things : dict
        Kind and name to ``declaration`` (the contract's JSON, with the label) and ``words`` printed beside it, dishes first.
    evidence : dict
        Ingredient to what is on file of it: specification, row, ground, findings.
    menus : dict
        Menu to its sections.
    files : dict
        Path in the book to the sha256 of the file.
    """

    law: dict[str, str]
    tool: dict[str, str]
    kitchen: Json
    things: dict[Key, Json]
    evidence: dict[str, Json]
    menus: dict[str, list[Json]]
    files: dict[str, str]

    def declaration(self, key: Key) -> Json:
        """Return the declaration of one thing."""
        found: Json = self.things[key]["declaration"]
        return found

    def names(self, kind: str) -> tuple[str, ...]:
        """Return the names of the dishes, or of the preparations."""
        return tuple(name for one, name in self.things if one == kind)

    def not_vouched_for(self) -> tuple[str, ...]:
        """Return the dishes with something not known, in a group or about alcohol."""
        return tuple(name for kind, name in self.things if kind == "dish" and is_open(self.declaration((kind, name))))


def is_open(declaration: Json) -> bool:
    """Tell whether something in a declaration is not known: a group, beside another status too, or alcohol."""
    return any(row["unconfirmed"] for row in declaration["allergens"]) or bool(declaration["alcohol"]["unconfirmed"])


def content_of(declarer: Declarer, files: dict[str, bytes]) -> Content:
    """Declare everything in a book and gather what a record keeps of it.

    Parameters
    ----------
    declarer : Declarer
        The book worked out under the law of the record.
    files : dict
        Path in the book to the bytes it was read from.
    """
    book, law = declarer.workings.book, declarer.law
    things: dict[Key, Json] = {}
    for name in sorted(declarer.workings.plates, key=_by_name):
        things["dish", name] = _thing(declarer, declarer.dish(name))
    for name in sorted(declarer.workings.given(), key=_by_name):
        things["preparation", name] = _thing(declarer, declarer.given(name))
    kitchen = book.kitchen
    return Content(
        {"code": law.code, "title": law.title},
        tool_in_use(law.code),
        {
            "name": kitchen.name,
            "address": kitchen.address,
            "language": kitchen.language,
            "jurisdiction": kitchen.jurisdiction,
            "shared_equipment": [
                {
                    "name": one.name,
                    "cleaned": one.cleaned,
                    "checked": one.checked,
                    "carries_mg_per_kg": one.carries_mg_per_kg,
                }
                for one in kitchen.shared_equipment
            ],
        },
        things,
        {name: _evidence(declarer, entry) for name, entry in sorted(book.ingredients.items())},
        {
            menu.name: [{"section": title, "dishes": list(dishes)} for title, dishes in menu.sections]
            for menu in sorted(book.menus.values(), key=lambda one: _by_name(one.name))
        },
        {path: sha256_of(raw) for path, raw in sorted(files.items())},
    )


def packed(content: Content, files: dict[str, bytes]) -> tuple[str, dict[str, bytes]]:
    """Return the hash of a content's list and every part by its hash; what did not change since has the same hash."""
    parts: dict[str, bytes] = {sha256_of(raw): raw for raw in files.values()}

    def keep(value: object) -> str:
        raw = _plain(value)
        key = sha256_of(raw)
        parts[key] = raw
        return key

    manifest = {
        "law": content.law,
        "tool": content.tool,
        "kitchen": content.kitchen,
        "things": [
            {"kind": kind, "name": name, "content": keep(thing)} for (kind, name), thing in content.things.items()
        ],
        "evidence": {name: keep(one) for name, one in content.evidence.items()},
        "menus": content.menus,
        "files": content.files,
    }
    return keep(manifest), parts


def read_content(reader: RecordReader, entry: Entry) -> Content:
    """Return what a record holds.

    Raises
    ------
    RecordFileError
        Where a content is missing, is not what was recorded, or has another shape than this tool writes.
    """
    try:
        return _content(reader, json.loads(reader.content(entry.manifest)))
    except (ValueError, KeyError, TypeError, AttributeError):
        raise damaged(reader.path, f"record {entry.number} has not the shape of a record") from None


def _content(reader: RecordReader, manifest: Json) -> Content:
    return Content(
        manifest["law"],
        manifest["tool"],
        manifest["kitchen"],
        {(row["kind"], row["name"]): json.loads(reader.content(row["content"])) for row in manifest["things"]},
        {name: json.loads(reader.content(key)) for name, key in manifest["evidence"].items()},
        manifest["menus"],
        manifest["files"],
    )


def _plain(value: object) -> bytes:
    # ASCII, so that no text of a book, however odd, fails to be written; the order of keys is the order of the law.
    return json.dumps(value, ensure_ascii=True, separators=(",", ":")).encode("ascii")


def _thing(declarer: Declarer, declaration: Declaration) -> Json:
    words = words_of_dish if declaration.kind == "dish" else words_of_given
    return {"declaration": declaration_as_json(declaration, declarer), "words": words(declarer, declaration)}


def _by_name(name: str) -> tuple[str, str]:
    return fold_text(name), name


def _evidence(declarer: Declarer, entry: Ingredient) -> Json:
    workings = declarer.workings
    place = workings.larder.ids.get(entry.name)
    known = workings.evidence[place] if place is not None else None
    spec = entry.spec
    found: Json = {
        "from_shelf": entry.from_shelf,
        "composition": f"{PREFIX}{entry.composition}" if entry.composition else "",
        "per_100_g": entry.per_100_g,
        "strength_percent_vol": entry.strength_percent_vol,
        "sulphites_mg_per_kg": entry.sulphites_mg_per_kg,
        "made_on": list(entry.made_on),
        "spec": None
        if spec is None
        else {
            "supplier": spec.supplier,
            "reference": spec.reference,
            "dated": spec.dated.isoformat() if spec.dated else "",
            "statement": spec.statement,
            "declares": None if spec.declares is None else list(spec.declares),
            "covers_all": spec.covers_all,
            "may_contain": None if spec.may_contain is None else list(spec.may_contain),
        },
    }
    if known is not None:
        found |= {
            "ground": known.evidence.ground,
            "contains": [_finding(one) for one in known.evidence.contains],
            "may_contain": [_finding(one) for one in known.evidence.may_contain],
            "not_known": sorted(known.evidence.unconfirmed),
            "alcohol": known.alcohol,
            "alcohol_words": known.alcohol_words,
            "opened": {} if entry.from_shelf else words_of_opened(declarer, entry.name),
        }
    return found


def _finding(one: Finding) -> dict[str, str]:
    return {"source": one.source, "derivation": one.derivation, "words": one.words}
