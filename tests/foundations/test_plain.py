"""The light dataclasses behave as the library's own do; what is expected here is what the library itself does."""

import copy
import dataclasses
import pickle
from typing import Any

import pytest

from labeller.foundations import plain


def _both(**options: bool) -> list[Any]:
    made = []
    for maker in (dataclasses, plain):

        class Thing:
            """A thing."""

            first: float
            second: str = "two"
            third: list[int] = maker.field(default_factory=list)
            hidden: int = maker.field(default=7, repr=False)

            @property
            def double(self) -> float:
                return self.first * 2

        made.append(maker.dataclass(**options)(Thing))
    return made


OPTIONS = [
    {"frozen": True, "slots": True}, {"slots": True}, {"frozen": True, "slots": True, "eq": False}, {"slots": True, "eq": False},
    {"frozen": True, "slots": True, "order": True},
]  # fmt: skip


@pytest.mark.parametrize("options", OPTIONS)
def test_it_behaves_as_the_library_does(options: dict[str, bool]) -> None:
    for made in _both(**options):
        one, same, other = made(1.0), made(first=1.0), made(2.0, "three", [4])
        assert (one.first, one.second, one.third, one.hidden, one.double) == (1.0, "two", [], 7, 2.0)
        assert (one == same) is options.get("eq", True)
        assert one != other
        assert repr(one).endswith("Thing(first=1.0, second='two', third=[])")
        assert not hasattr(one, "__dict__")
        assert [each.name for each in dataclasses.fields(made)] == ["first", "second", "third", "hidden"]
        assert dataclasses.replace(one, second="x").second == "x"
        assert dataclasses.asdict(other) == {"first": 2.0, "second": "three", "third": [4], "hidden": 7}
        assert copy.copy(other).third == [4]
        assert one.third is not same.third  # a list of its own for each
        with pytest.raises(TypeError, match="first"):
            made()
        with pytest.raises(TypeError, match="unexpected"):
            made(1.0, fourth=2)
        if options.get("frozen"):
            with pytest.raises(dataclasses.FrozenInstanceError, match="cannot assign to field 'first'"):
                one.first = 3.0
            with pytest.raises(dataclasses.FrozenInstanceError, match="cannot delete field 'first'"):
                del one.first
        else:
            one.first = 3.0
            assert one.first == 3.0
        if options.get("order"):
            assert one < other
            assert sorted([other, one]) == [one, other]


@plain.dataclass(frozen=True, slots=True)
class Pair:
    """Two values."""

    left: str
    right: float = 0.0


@plain.dataclass(frozen=True, slots=True)
class Single:
    """One value."""

    only: float


def test_equal_values_have_equal_hashes_and_survive_a_copy() -> None:
    assert len({Pair("a", 1.0), Pair("a", 1.0), Pair("b")}) == 2
    assert hash(Pair("a")) == hash(("a", 0.0))
    assert Single(1.0) == Single(1.0)
    assert Single(1.0) != Single(2.0)
    for one in (Pair("a", 2.0), Single(3.0)):
        assert pickle.loads(pickle.dumps(one)) == one == copy.deepcopy(one)  # noqa: S301 - our own value
    match Pair("a", 2.0):
        case Pair(left, right):
            assert (left, right) == ("a", 2.0)


def test_a_class_that_can_change_has_no_hash() -> None:
    @plain.dataclass(slots=True)
    class Box:
        """A box."""

        inside: list[int] = plain.field(default_factory=list)
        seen: int = plain.field(init=False)

        def __post_init__(self) -> None:
            self.seen = len(self.inside)

    assert Box([1, 2]).seen == 2
    with pytest.raises(TypeError, match="unhashable"):
        hash(Box())
    with pytest.raises(TypeError, match="not inherited"):

        @plain.dataclass(slots=True)
        class More(Box):
            """More."""

            other: int = 0
