"""The house form: layout and order of keys; no word, no comment and no meaning changed, or the file is left alone."""

import random
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.bringing_in.house_form import house_form
from labeller.bringing_in.same_reading import as_read, second_reader_agrees
from labeller.demonstration.place import demonstration_book
from tests.bringing_in.books_for_editors import read_files_of, read_text


def formed(text: str) -> str:
    found, faults = house_form(text.encode(), "book.yaml")
    assert found is not None, [one.as_text() for one in faults]
    again, _ = house_form(found.encode(), "book.yaml")
    assert again == found
    return found


def left_alone(raw: bytes) -> tuple[int, str]:
    found, faults = house_form(raw, "book.yaml")
    assert found is None
    assert faults
    assert all(one.mend for one in faults)
    return faults[0].origin.line, faults[0].problem


# Before and after, our own; each pair shows one rule.
PAIRS = {
    "order of keys, indents, spaces": (
        "-   ingredient:   cream\n    density:  1.01 g/ml\n    composition: sr28:01053\n    also: [ a ,b ]\n",
        "- ingredient: cream\n  also: [a, b]\n  composition: sr28:01053\n  density: 1.01 g/ml\n",
    ),
    "lists four spaces in": (
        "- dish: x\n  plate:\n  - 5 g butter\n  -   3 g salt\n",
        "- dish: x\n  plate:\n    - 5 g butter\n    - 3 g salt\n",
    ),
    "the spelling of keys": (
        "- Ingredient: x\n  Made On: [churn]\n  per 100 g: {fat g: 3, energy_kj: 111}\n",
        "- ingredient: x\n  per_100_g: {energy_kj: 111, fat_g: 3}\n  made_on: [churn]\n",
    ),
    "a comment moves with its key": (
        "- dish: x\n  # on one plate\n  plate: [5 g butter]  # weighed\n  # as the menu says\n  course: main\n",
        "- dish: x\n  # as the menu says\n  course: main\n  # on one plate\n  plate: [5 g butter]  # weighed\n",
    ),
    "one empty line between entries": (
        "- ingredient: a\n  piece: 5 g\n- ingredient: b\n  piece: 5 g\n\n- ingredient: c\n\n\n\n\n- ingredient: d\n",
        "- ingredient: a\n  piece: 5 g\n\n- ingredient: b\n  piece: 5 g\n\n- ingredient: c\n\n\n- ingredient: d\n",
    ),
    "bare entries stand tight": (
        "- ingredient: a\n- ingredient: b\n\n- ingredient: c\n",
        "- ingredient: a\n- ingredient: b\n\n- ingredient: c\n",
    ),
    "groups stay groups": (
        "- ingredient: a\n  piece: 5 g\n- ingredient: b\n  piece: 5 g\n\n- ingredient: c\n  piece: 5 g\n- ingredient: d\n  piece: 5 g\n",
        "- ingredient: a\n  piece: 5 g\n\n- ingredient: b\n  piece: 5 g\n\n\n- ingredient: c\n  piece: 5 g\n\n- ingredient: d\n  piece: 5 g\n",
    ),
    "an empty line within an entry": (
        "- preparation: x\n  takes:\n\n    - 5 g a\n\n\n    - 3 g b\n",
        "- preparation: x\n  takes:\n    - 5 g a\n\n    - 3 g b\n",
    ),
    "quotes only where needed": (
        "- ingredient: \"x\"\n  also: ['NO', \"a, b\", 'c', \"1.10\", \"2026-10-01\", '#1', 'it''s']\n  keeps: \"5 days: cold\"\n",
        '- ingredient: x\n  also: ["NO", "a, b", c, "1.10", "2026-10-01", "#1", it\'s]\n  keeps: "5 days: cold"\n',
    ),
    "a statement always in quotes": (
        "- ingredient: x\n  spec: {statement: Cream (MILK), supplier: \"A\"}\n- ingredient: y\n  spec:\n    statement: 'say \"no\"'\n",
        '- ingredient: x\n  spec: {supplier: A, statement: "Cream (MILK)"}\n\n- ingredient: y\n  spec:\n    statement: \'say "no"\'\n',
    ),
    "long texts are not folded": (
        "- ingredient: x\n  spec:\n    statement: " + "water, " * 80 + "salt\n",
        '- ingredient: x\n  spec:\n    statement: "' + "water, " * 80 + 'salt"\n',
    ),
    "texts keep their lines": (
        "- preparation: x\n  takes: 5 g a\n  method:\n  - whisk it\n        well\n  - >-\n     stand it\n       aside\n  - |\n    a\n    b\n",
        "- preparation: x\n  takes: 5 g a\n  method:\n    - whisk it\n      well\n    - >-\n      stand it\n        aside\n    - |\n      a\n      b\n",
    ),
    "brackets keep the cook's lines": (
        "- menu: m\n  sections: {a: [x,\n     y ], b: [z]\n    }\n",
        "- menu: m\n  sections: {a: [x,\n                 y], b: [z]}\n",
    ),
    "comments within brackets": (
        "- preparation: x\n  takes:\n  - 5 g a\n  method:\n  - heat: {how: bake, # hot\n      for: 5 min}\n",
        "- preparation: x\n  takes:\n    - 5 g a\n  method:\n    - heat: {how: bake, # hot\n        for: 5 min}\n",
    ),
    "comments in odd places": (
        "- # behind a dash\n  dish: x\n  course: # behind a colon\n    main\n  plate: # of one\n  # above the first\n   - 5 g a # last\n    # of the plate\n  # of the dish\n# of the file",
        "# behind a dash\n- dish: x\n  # behind a colon\n  course: main\n  plate:  # of one\n    # above the first\n    - 5 g a # last\n    # of the plate\n  # of the dish\n# of the file\n",
    ),
    "anchors keep the order": (
        "- ingredient: a\n  measures: &spoon {spoon: 5 g}\n  also: [b]\n- ingredient: c\n  measures: *spoon\n",
        "- ingredient: a\n  measures: &spoon {spoon: 5 g}\n  also: [b]\n\n- ingredient: c\n  measures: *spoon\n",
    ),
    "the order within a step is the cook's": (
        "- preparation: x\n  takes: 5 g a\n  method:\n  - heat: {for: 5 min, how: bake}\n",
        "- preparation: x\n  takes: 5 g a\n  method:\n    - heat: {for: 5 min, how: bake}\n",
    ),
    "unknown keys stay, behind the known": (
        "- dish: x\n  colour: red\n  plate: 5 g a\n",
        "- dish: x\n  plate: 5 g a\n  colour: red\n",
    ),
    "nothing behind a colon": ("- dish: x\n  plate: 5 g a\n  course:   # none\n", "- dish: x\n  course:  # none\n  plate: 5 g a\n"),
    "several documents": ("---   # one\n- ingredient: a\n---\n# two\n- ingredient:   b\n", "---  # one\n- ingredient: a\n---\n# two\n- ingredient: b\n"),
    "entries in braces": ("- {piece: 5 g, ingredient: a}\n- {ingredient: b, piece: 5 g, also: [c]}\n", "- {piece: 5 g, ingredient: a}\n- {ingredient: b, also: [c], piece: 5 g}\n"),
    "windows, byte-order mark, tabs": ("\ufeff- ingredient: a\t# a\tb  \r\n  piece: 5 g\r\n", "- ingredient: a  # a\tb\n  piece: 5 g\n"),
    "comments alone": ("\n\n# nothing yet\n\n\n# at all", "# nothing yet\n\n# at all\n"),
    "nothing": ("", ""),
}  # fmt: skip


@pytest.mark.parametrize(("before", "after"), PAIRS.values(), ids=PAIRS)
def test_each_rule_of_the_form(before: str, after: str) -> None:
    assert formed(before) == after


@pytest.mark.parametrize(
    ("raw", "line", "words"),
    [
        (b"- dish: x\n  plate: [5 g a\n- dish: y\n", 3, "not readable"),
        (b"- dish: x\n\tplate: 5 g a\n", 2, "begins with a tab"),
        (b"- dish: caf\xe9\n", 1, "not UTF-8"),
        (b"- dish: x\n  plate: 5 g a\n  plate: 5 g b\n", 3, "'plate' is given twice (first on line 2)."),
        (b"- dish: x\n  Suitable for: a\n  suitable_for: b\n", 3, "'suitable_for' is given twice (first on line 2)."),
        (b"- menu: x\n  sections: {a: [b], a: [c]}\n", 2, "'a' is given twice"),
        (b"dish: x\nplate: 5 g a\n", 1, "not a list of entries"),
        (b"%YAML 1.2\n---\n- dish: x\n", 1, "begins with a directive"),
        (b"- dish: x\n  plate: 5 g a\n...\n", 3, "'...' ends a part"),
        (b"- dish: x\r  plate: 5 g a\n", 1, "a sign that most editors do not show"),
        (b"- dish: x\n  plate: 5 g a\n  description: |2\n    two\n", 3, "a number for its indent"),
        (b"- *nothing\n", 1, "points at nothing"),
    ],
)
def test_a_file_with_a_fault_is_left_alone(raw: bytes, line: int, words: str) -> None:
    found_line, problem = left_alone(raw)
    assert words in problem
    assert found_line == line


def test_the_second_reader_sees_types() -> None:
    assert not second_reader_agrees('- a: "1.10"\n', "- a: 1.10\n")
    assert not second_reader_agrees('- a: "true"\n', "- a: true\n")
    assert second_reader_agrees("- a: 1\n  b: 2\n", "- b: 2\n  a: 1\n")
    assert second_reader_agrees("- !odd a\n", "- anything\n")


def test_a_single_space_before_a_comment_is_not_tidied_away() -> None:
    """One space before '#' may mean that the cook wanted it in the text: ``check`` asks, so the sign to ask by stays."""
    text = "- dish: x\n  plate:\n    - 30 g tin #3 beans\n"
    assert formed(text) == text


def test_the_demo_book_reads_the_same() -> None:
    folder = demonstration_book()
    raw = {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*.yaml")}
    after = {name: formed(text.decode()).encode() for name, text in raw.items()}
    assert as_read(*read_files_of(raw)) == as_read(*read_files_of(after))


# Random books --------------------------------------------------------------------------------------------------------

_TEXTS = (
    "double cream",
    "NO",
    "1.10",
    "a: b",
    "tin #3",
    "it's",
    'say "no"',
    "Crème, fraîche",
    "- dash",
    "7",
    "x",
    "[b]",
    "& more",
    "",
)
_AMOUNTS = (
    "250 g butter",
    "½ tsp salt",
    "about 450 ml whole milk",
    "1,5 kg plum",
    "3 g salt, optional",
    "10 g butter, soft #2",
)
_STEPS = (
    "rest",
    "Whisk: well",
    "trim: {loses: 5 %}",
    "heat: {for: 20 min, how: bake}",
    "chill: overnight",
    "{add: [5 g butter, 3 g salt]}",
)


class Messy:
    """Writes one random book, as untidily as YAML allows, and counts the comments it leaves."""

    def __init__(self, dice: random.Random) -> None:
        self.dice, self.lines, self.comments = dice, [""], 0

    def remark(self, indent: int | None = None) -> str:
        """Return a comment, or nothing; alone on its lines where an indent is given."""
        if self.dice.random() > 0.25:
            return "\n" * self.dice.choice((0, 0, 0, 1, 3)) if indent is not None else ""
        self.comments += 1
        words = (
            self.dice.choice(("", " "))
            + f"remark {self.comments}. "
            + self.dice.choice(("", "# 'more\"", "{[", "\tx: y"))
        )
        if indent is None:
            return self.dice.choice((" ", "  ", "      ")) + "#" + words
        blank = "\n" * self.dice.choice((0, 1, 2))
        return blank + " " * max(0, indent + self.dice.choice((0, 0, 0, -1, 2))) + "#" + words + "\n" + blank

    def scalar(self, text: str) -> str:
        """Return a text in one of the styles that hold it."""
        double = '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
        plain_is_safe = (
            text
            and text[0].isalnum()
            and ": " not in text
            and " #" not in text
            and "," not in text
            and "[" not in text
        )
        return self.dice.choice((text, double) if plain_is_safe else (double, "'" + text.replace("'", "''") + "'"))

    def listed(self, items: list[str], indent: int) -> str:
        """Return a list behind a key, in brackets or below it."""
        if self.dice.random() < 0.4:
            between = self.dice.choice((", ", " ,", ",\n" + " " * (indent + 3)))
            return f" [{between.join(self.scalar(one) for one in items)}]{self.remark()}\n"
        column = indent + self.dice.choice((0, 2, 4))
        lines = [
            f"{self.remark(column)}{' ' * column}-{' ' * self.dice.choice((1, 3))}{self.scalar(one)}{self.remark()}\n"
            for one in items
        ]
        return f"{self.remark()}\n{''.join(lines)}"

    def entry(self, number: int) -> str:
        """Return one entry with its keys in no order."""
        kind = self.dice.choice(("ingredient", "preparation", "dish"))
        column = self.dice.choice((2, 2, 4))
        keys: dict[str, Callable[[], str]] = {
            "ingredient": {
                "also": lambda: self.listed([f"{self.dice.choice(_TEXTS)}{number}"], column),
                "per_100_g": lambda: f" {{salt_g: 1,fat_g: {self.dice.choice(('2', '0.5', '1.10'))} }}{self.remark()}\n",
                "keeps": lambda: f" {self.scalar(self.dice.choice(_TEXTS))}{self.remark()}\n",
                "spec": lambda: f"{self.remark()}\n{' ' * (column + 3)}statement: {self.scalar('Cream (MILK), salt')}\n{self.remark(column + 3)}"
                f"{' ' * (column + 3)}supplier: {self.scalar(self.dice.choice(_TEXTS))}{self.remark()}\n",
                "piece": lambda: f"   60 g{self.remark()}\n",
            },
            "preparation": {
                "takes": lambda: self.listed([self.dice.choice(_AMOUNTS[:4]) for _ in range(2)], column),
                "method": lambda: "\n" + "".join(f"{self.remark(column)}{' ' * column}- {self.dice.choice(_STEPS)}{self.remark()}\n" for _ in range(2)),
                "makes": lambda: f" {self.scalar('8')}\n",
                "storage": lambda: f" >-{self.remark()}\n{' ' * (column + 5)}keep it\n\n{' ' * (column + 5)}cold\n",
            },
            "dish": {
                "plate": lambda: self.listed([self.dice.choice(_AMOUNTS) for _ in range(3)], column),
                "course": lambda: f" plain text\n{' ' * (column + 4)}on two lines{self.remark()}\n",
                "Suitable for": lambda: f" [vegan]{self.remark()}\n",
                "serves": lambda: f"  {self.dice.choice(('2', '1 1/2'))}\n",
            },
        }[kind]  # fmt: skip
        order = list(keys)
        self.dice.shuffle(order)
        chosen = [one for one in order if one in ("takes", "plate") or self.dice.random() < 0.8]
        head = (
            f"-{' ' * (column - 1)}{kind}: {self.scalar(f'{self.dice.choice(_TEXTS[:8])} {number}')}{self.remark()}\n"
        )
        body = "".join(f"{self.remark(column)}{' ' * column}{key}:{keys[key]()}" for key in chosen)
        return self.remark(0) + head + body + "\n" * self.dice.choice((0, 1, 1, 3))

    def book(self) -> str:
        """Return the whole book."""
        text = (
            self.remark(0) + "- kitchen: K\n  jurisdiction: eu\n" + "".join(self.entry(number) for number in range(4))
        )
        text += self.remark(0)
        if self.dice.random() < 0.3:
            text = text.rstrip("\n")
        return text.replace("\n", "\r\n") if self.dice.random() < 0.2 else text


@pytest.mark.property
@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**32))
def test_random_books_read_the_same_with_every_comment(seed: int) -> None:
    messy = Messy(random.Random(seed))  # noqa: S311 - dice for a test
    text = messy.book()
    before = read_text(text)
    after = formed(text)
    assert as_read(*read_text(after)) == as_read(*before), text
    for number in range(1, messy.comments + 1):
        assert after.count(f"remark {number}.") == 1, (number, text)
    assert after.count("#") == text.count("#")
    assert "\r" not in after


@pytest.mark.property
@settings(max_examples=150, deadline=None)
@given(text=st.text(st.sampled_from("- :#[]{}'\"\n|>&*!ab1,%\t\\?"), max_size=40))
def test_no_text_makes_it_raise(text: str) -> None:
    for start in ("", "- dish: x\n  plate: "):
        raw = (start + text).encode()
        found, faults = house_form(raw, "book.yaml")
        assert (found is None) == bool(faults)
        if found is not None:
            assert as_read(*read_files_of({"a.yaml": raw})) == as_read(*read_files_of({"a.yaml": found.encode()}))


def test_what_import_writes_is_in_the_form(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text(
        "Plum sauce\n\n500 g plums, stoned\n100 g sugar\nSimmer well: 20 min.\n", encoding="utf-8"
    )
    from tests.kitchens import Kitchen, run

    book = Kitchen(tmp_path / "book").write("")
    assert run("import", tmp_path / "a.txt", "--into", book.folder).code == 0
    brought = [path for path in book.folder.rglob("*.yaml") if path.name != "book.yaml"]
    assert brought
    for path in brought:
        text = path.read_text(encoding="utf-8")
        assert formed(text).rstrip() == text.rstrip()


def test_the_demo_book_is_in_the_form() -> None:
    for path in demonstration_book().rglob("*.yaml"):
        assert formed(path.read_text(encoding="utf-8")) == path.read_text(encoding="utf-8"), path.name
