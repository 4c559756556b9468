"""Answers over random books: they agree with the declarations, and every change they offer holds once the dish is rebuilt."""

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.kitchens import Kitchen, plate, run, status

ON = ("--on", "2026-11-25")
GOODS = {
    "plum drizzle": "spec: {statement: 'Plums, sugar'}",
    "praline": "spec: {statement: 'HAZELNUTS, sugar', may_contain: soya}",
    "cream sauce": "spec: {statement: 'Cream (MILK)', may_contain: [nuts]}",
    "mystery paste": "",
    "listed mix": "spec: {declares: [milk]}",
    "cider syrup": "spec: {statement: 'Cider, sugar'}",
    "sour fruit": "sulphites: 60 mg/kg\n  spec: {statement: 'Apricots, sulphur dioxide'}",
    "dark fruit": "spec: {statement: 'Prunes, sulphites'}",
    "cordial": "sulphites: 4 mg/kg\n  spec: {statement: 'Water, sugar'}",
}
ASKED = ("milk", "nuts", "soya", "sulphites", "alcohol")
LINE = st.tuples(
    st.sampled_from(sorted(GOODS)), st.integers(1, 60), st.booleans(), st.none() | st.sampled_from(sorted(GOODS))
)
DISHES = st.lists(st.lists(LINE, min_size=1, max_size=5), min_size=1, max_size=4)
Line = tuple[str, int, bool, str | None]


def _text(line: Line) -> str:
    name, grams, optional, swap = line
    return (
        f"{grams} g {name}"
        + (f", or {grams} g {swap}" if swap and swap != name else "")
        + (", optional" if optional else "")
    )


def _write(folder: Path, dishes: list[list[Line]]) -> Kitchen:
    goods = "".join(f"- ingredient: {name}\n" + (f"  {body}\n" if body else "") for name, body in GOODS.items())
    plates = "".join(plate(*map(_text, lines), name=f"dish {at}") for at, lines in enumerate(dishes))
    return Kitchen(folder / "book").write(goods + plates)


def _status(declaration: dict[str, Any], group: str) -> str:
    return str(declaration["alcohol"]["status"]) if group == "alcohol" else status(declaration, group)


def _told_apart(lines: list[Line]) -> list[Line]:
    """Keep one line a name, and one line that a thing can stand in for: what was said of a plate then tells which line it means."""
    found: list[Line] = []
    swaps: set[str | None] = set()
    for name, grams, optional, swap in {line[0]: line for line in lines}.values():
        found.append((name, grams, optional, None if swap in swaps else swap))
        swaps.add(swap)
    return found


def _rebuilt(lines: list[Line], leave_off: list[str], swap: list[str]) -> list[Line]:
    """Rebuild a plate by what was said: each word said is used once, on a line it can be said of."""
    off, put_in = list(leave_off), list(swap)
    found: list[Line] = []
    for name, grams, optional, other in lines:
        if optional and name in off:
            off.remove(name)
        elif other is not None and other != name and other in put_in:
            put_in.remove(other)
            found.append((other, grams, False, None))
        else:
            found.append((name, grams, optional, None))
    assert not off
    assert not put_in
    return found


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(dishes=DISHES, asked=st.lists(st.sampled_from(ASKED), min_size=1, max_size=2, unique=True))
def test_suits_agrees_with_the_declarations_and_every_change_holds(dishes: list[list[Line]], asked: list[str]) -> None:
    """Issue 7: ``suits`` lists none declared only; every ``suits_if`` suits once rebuilt; every dish stands in one list."""
    dishes = [_told_apart(lines) for lines in dishes]
    with TemporaryDirectory() as place:
        kitchen = _write(Path(place), dishes)
        declared = kitchen.declared()
        flags = [word for one in asked for word in ("--without", one)]
        found = run("answer", kitchen.folder, *flags, "--json", *ON).json()
        names = [*found["suits"], *found["does_not"]]
        names.extend(one["dish"] for one in (*found["suits_if"], *found["cannot_vouch"]))
        assert sorted(names) == sorted(declared)
        for name, declaration in declared.items():
            clear = all(_status(declaration, group) == "none declared" for group in asked)
            assert (name in found["suits"]) == clear
        counts = [len(one["leave_off"]) + len(one["swap"]) for one in found["suits_if"]]
        assert counts == sorted(counts)
        assert all(count > 0 for count in counts)
        if not found["suits_if"]:
            return
        changed = {
            one["dish"]: _rebuilt(dishes[int(one["dish"].split()[1])], one["leave_off"], one["swap"])
            for one in found["suits_if"]
        }
    with TemporaryDirectory() as place:
        again = _write(Path(place), list(changed.values())).declared()
        for declaration in again.values():
            assert all(_status(declaration, group) == "none declared" for group in asked)


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(lines=st.lists(LINE, min_size=1, max_size=5), group=st.sampled_from(ASKED))
def test_answer_about_a_group_agrees_with_the_declaration(lines: list[Line], group: str) -> None:
    """Status, ways and what is unconfirmed are those of ``declare``; exit 3 just where the contract says."""
    with TemporaryDirectory() as place:
        kitchen = _write(Path(place), [lines])
        declaration = kitchen.one("dish 0")
        ran = run("answer", kitchen.folder, "--of", "dish 0", "--about", group, "--json", *ON)
        found = ran.json()
        assert found["status"] == _status(declaration, group)
        if group == "alcohol":
            assert found["ethanol_g"] == declaration["alcohol"]["ethanol_g"]
            open_ = found["unconfirmed"]
        else:
            row = next(row for row in declaration["allergens"] if row["group"] == group)
            open_ = row["unconfirmed"]
            assert found["unconfirmed"] == open_
            assert found["because"] == row["because"]
        assert ran.code == (3 if open_ and found["status"] != "contains" else 0)
        assert ("We do not know" in found["sentence"]) == (ran.code == 3)
