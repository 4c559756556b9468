"""What holds for every method a cook may write: nothing is lost, nothing appears, every range is a range.

The rules are those of the balance itself (mass, ethanol and sulphite are conserved), so there is no published figure to hold them to.
"""

from dataclasses import dataclass, field, replace
from functools import cache

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from labeller.book.entries import Book, Given, Ingredient, Kitchen, Line, Loss, Preparation, Step, Target
from labeller.book.fields import Notes
from labeller.book.method import HEAT_WAYS, MACERATED_AS, QUIET_STEPS, SHARE_STEPS
from labeller.composition.household import load_household
from labeller.composition.table import load_table
from labeller.foundations.faults import Fault, Origin
from labeller.foundations.quantities import Quantity
from labeller.kitchen import constituents as c
from labeller.kitchen.batch import Batch
from labeller.kitchen.constituents import Floats
from labeller.kitchen.larder import Larder, stock_larder
from labeller.kitchen.making import Made, Maker
from labeller.kitchen.weighing import Scale

pytestmark = pytest.mark.property
BOUNDED = settings(max_examples=100, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))

HERE = Origin("book.yaml", 1)
FRUIT = ("damsons", "raspberries", "raisins")
OTHERS = ("spirit", "wine", "water", "sugar", "cream", "flour", "egg")
ENTRIES = {
    entry.name: entry
    for entry in (
        Ingredient("damsons", HERE, composition="sr28:09279"),
        Ingredient("raspberries", HERE, composition="sr28:09302"),
        Ingredient("raisins", HERE, composition="sr28:09298", sulphites_mg_per_kg=900.0),
        Ingredient("spirit", HERE, strength_percent_vol=40.0),
        Ingredient("wine", HERE, composition="sr28:14096", strength_percent_vol=12.5, sulphites_mg_per_kg=120.0),
        Ingredient("water", HERE, composition="sr28:14411"),
        Ingredient("sugar", HERE, composition="sr28:19335"),
        Ingredient("cream", HERE, composition="sr28:01053"),
        Ingredient("flour", HERE, composition="sr28:20081"),
        Ingredient("egg", HERE, composition="sr28:01123"),
        Ingredient("oil", HERE, composition="sr28:04506"),
    )
}


@dataclass(slots=True)
class Benches:
    made: dict[str, Made] = field(default_factory=dict)

    def batch_of(self, preparation: str, given: str) -> Batch | None:
        made = self.made.get(preparation)
        return made.given.get(given) if made is not None else None


@cache
def larder() -> Larder:
    notes = Notes()
    stocked = stock_larder(ENTRIES, load_table(), notes, pack_carbohydrate_with_fibre=False)
    assert notes.faults == []
    return stocked


def make_all(*preparations: Preparation) -> tuple[list[Made], list[Fault]]:
    """Make preparations one after another; a later one may take what an earlier one gives."""
    found: list[Fault] = []
    benches = Benches()
    book = Book(Kitchen("a kitchen", "gb", HERE), ENTRIES, {one.name: one for one in preparations}, {}, {}, {})
    scale = Scale(book, larder(), load_table(), load_household(), benches)
    maker = Maker(scale, found.append, found.append, larder().ids["water"])
    for one in preparations:
        made = maker.make(one)
        if made is None:
            assert found, "what cannot be made is told"
            break
        benches.made[one.name] = made
    return list(benches.made.values()), found


# -- methods ----------------------------------------------------------------------------------------------------------

grams = st.floats(1.0, 2000.0)
shares = st.floats(0.0, 1.0)
minutes = st.none() | st.floats(1.0, 400.0)


@st.composite
def lines(draw: st.DrawFn, names: tuple[str, ...] = (*FRUIT, *OTHERS), *, rough: bool = True) -> Line:
    name = draw(st.sampled_from(names))
    middle = draw(grams)
    low, high = (draw(st.floats(0.3, 1.0)), draw(st.floats(1.0, 2.0))) if rough and draw(st.booleans()) else (1.0, 1.0)
    quantity = Quantity(middle * low, middle, middle * high, rough=(low, high) != (1.0, 1.0))
    removed = draw(st.integers(0, 9)) == 0
    return Line(f"{middle:g} g {name}", HERE, name, quantity, "mass", "g", Target("ingredient", name), removed=removed)


@st.composite
def losses(draw: st.DrawFn, most: float) -> Loss:
    share = draw(st.floats(0.0, most))
    spread = draw(st.booleans())
    quantity = (
        Quantity(share * 0.5, share, min(most, share * 1.5), rough=True) if spread else Quantity(share, share, share)
    )
    return Loss("share", quantity, f"{100 * share:g} %")


@st.composite
def steps(draw: st.DrawFn) -> Step:
    kind = draw(st.sampled_from(("share", "heat", "heat", "reduce", "fry", "add", "quiet")))
    what = draw(st.sampled_from(((), (), (), ("spirit",), ("damsons",), ("solids",))))
    if kind == "share":
        return Step(draw(st.sampled_from(SHARE_STEPS)), HERE, "leaves", what=what, loss=draw(losses(0.9)))
    if kind == "heat":
        loss = draw(st.none() | losses(0.3))
        return Step(
            "heat", HERE, "heat", what=what, how=draw(st.sampled_from(HEAT_WAYS)), minutes=draw(minutes), loss=loss
        )
    if kind == "reduce":
        return Step("reduce", HERE, "reduce", what=what, how="reduce", minutes=draw(minutes), loss=draw(losses(0.5)))
    if kind == "fry":
        target = Target("ingredient", "oil")
        share = draw(st.floats(0.0, 0.3))
        loss = draw(st.none() | losses(0.3))
        return Step("fry", HERE, "fry", what=what, how="fry", oil="oil", oil_target=target, takes_up=share, loss=loss)
    if kind == "add":
        return Step("add", HERE, "add", lines=(draw(lines()),))
    return Step(draw(st.sampled_from(QUIET_STEPS)), HERE, "stand", overnight=draw(st.booleans()))


@st.composite
def steeped(draw: st.DrawFn) -> tuple[Step, ...]:
    solids = draw(st.lists(st.sampled_from(FRUIT), min_size=1, max_size=2, unique=True))
    as_ = draw(st.sampled_from((*MACERATED_AS, "")))
    jar = Step("macerate", HERE, "macerate", solids=tuple(solids), minutes=draw(minutes), as_=as_)
    holds = draw(st.none() | st.floats(0.0, 0.3))
    between = draw(st.lists(steps(), max_size=2))
    return (jar, *between, Step("strain", HERE, "strain", holds=holds))


@st.composite
def preparations(draw: st.DrawFn, *, rough: bool = True) -> Preparation:
    takes = [
        draw(lines((name,), rough=rough))
        for name in draw(st.lists(st.sampled_from((*FRUIT, *OTHERS)), min_size=1, max_size=5, unique=True))
    ]
    before = draw(st.lists(steps(), max_size=2))
    jar = draw(steeped()) if draw(st.booleans()) else ()
    if jar:
        for name in (*jar[0].solids, "spirit"):
            if all(line.name != name for line in takes):
                takes.append(draw(lines((name,), rough=rough)))
    after = draw(st.lists(steps(), max_size=3))
    method = (*before, *jar, *after)
    total = sum(line.quantity.estimate for line in takes if not line.removed)
    given: tuple[Given, ...] = (Given("it", HERE),)
    weight = None
    if jar:
        weigh = [draw(st.none() | st.floats(0.05, 0.6)) for _ in range(2)]
        sizes = [None if one is None else Quantity(one * total, one * total, one * total) for one in weigh]
        given = (Given("it", HERE, "liquor", sizes[0]), Given("solids of it", HERE, "solids", sizes[1]))
        given = given[: draw(st.sampled_from((1, 2)))]
    elif draw(st.booleans()):
        scale = draw(st.floats(0.4, 1.5)) * total
        weight = Quantity(scale, scale, scale)
    return Preparation("it", HERE, tuple(takes), method, given, weight)


@st.composite
def chains(draw: st.DrawFn) -> tuple[Preparation, Preparation]:
    """A preparation, and another that takes it and goes on."""
    first, second = draw(preparations()), draw(preparations())
    second = replace(second, name="later", gives=tuple(replace(one, name=f"later {one.name}") for one in second.gives))
    size = draw(grams)
    line = Line("some it", HERE, "it", Quantity(size, size, size), "mass", "g", Target("given", "it", "it"))
    return first, replace(second, takes=(*second.takes, line))


def put_in(made: Made) -> Floats:
    """Sum what went into a preparation, removed lines apart, one row of constituents."""
    rows = [one.batch.rows.sum(axis=0) for one in made.taken if one.batch is not None and not one.line.removed]
    water = larder().per_gram[larder().ids["water"]] * made.taken_up_g
    return np.asarray(np.sum([*rows, water], axis=0))


def came_out(made: Made) -> Floats:
    rows = [batch.rows.sum(axis=0) for batch in made.given.values()]
    return np.asarray(np.sum([*rows, *made.sinks.values()], axis=0))


# -- what always holds ------------------------------------------------------------------------------------------------


def test_most_methods_can_be_made() -> None:
    """The checks below mean nothing where every method is refused."""
    whole: list[Made] = []
    strained: list[Made] = []
    tried: list[Preparation] = []

    @settings(BOUNDED, max_examples=150)
    @given(preparations())
    def count(preparation: Preparation) -> None:
        made, _ = make_all(preparation)
        tried.append(preparation)
        whole.extend(made)
        strained.extend(one for one in made if len(one.given) > 1)

    count()
    assert len(whole) > len(tried) // 4
    assert len(strained) > 5


@BOUNDED
@given(chains())
def test_grams_in_are_grams_out(chain: tuple[Preparation, Preparation]) -> None:
    for made in make_all(*chain)[0]:
        went_in, out = put_in(made), came_out(made)
        assert out[c.MASS].sum() == pytest.approx(made.put_in_g + made.taken_up_g, rel=1e-9)
        for column in (c.PROTEIN, c.FAT, c.FIBRE, c.ASH, c.DISSOLVING, c.STAYING, c.WATER, c.SODIUM_MG, c.SATURATES):
            assert out[column] == pytest.approx(went_in[column], rel=1e-9, abs=1e-9)
        for batch in made.given.values():
            # 'other' closes a row of the table to 100 g and may be a hair below nought there.
            assert (batch.rows[:, : c.OTHER] >= -1e-9).all()
            assert batch.weight_g >= 0.0


@BOUNDED
@given(chains())
def test_ethanol_never_appears_from_nothing(chain: tuple[Preparation, Preparation]) -> None:
    for made in make_all(*chain)[0]:
        assert came_out(made)[c.ETHANOL] == pytest.approx(put_in(made)[c.ETHANOL], rel=1e-9, abs=1e-9)


@BOUNDED
@given(chains())
def test_low_estimate_and_high_keep_their_order(chain: tuple[Preparation, Preparation]) -> None:
    for made in make_all(*chain)[0]:
        for batch in made.given.values():
            low, estimate, high = c.ethanol_range_g(batch.rows)
            assert -1e-9 <= low <= estimate <= high
            for case in range(c.LOW_A, c.HIGH_B + 1):
                assert (batch.rows[:, case] >= -1e-9).all()


@BOUNDED
@given(chains())
def test_no_high_end_exceeds_the_ethanol_put_in(chain: tuple[Preparation, Preparation]) -> None:
    for made in make_all(*chain)[0]:
        most = sum(c.ethanol_range_g(one.batch.rows)[2] for one in made.taken if one.batch is not None)
        for batch in made.given.values():
            assert c.ethanol_range_g(batch.rows)[2] <= most * (1.0 + 1e-9) + 1e-9


@BOUNDED
@given(chains())
def test_no_step_takes_an_ingredient_from_what_is_present(chain: tuple[Preparation, Preparation]) -> None:
    for made in make_all(*chain)[0]:
        went_in = {place for one in made.taken if one.batch is not None for place in one.batch.present}
        for batch in made.given.values():
            assert set(batch.present) == went_in


@BOUNDED
@given(chains())
def test_sulphite_leaves_with_mass_and_never_as_steam(chain: tuple[Preparation, Preparation]) -> None:
    for made in make_all(*chain)[0]:
        removed = sum(
            one.batch.rows[:, c.SO2_MG].sum() for one in made.taken if one.batch is not None and one.line.removed
        )
        assert came_out(made)[c.SO2_MG] == pytest.approx(put_in(made)[c.SO2_MG] + removed, rel=1e-9, abs=1e-9)
        for sink in ("steam", "flame"):
            if sink in made.sinks:
                assert made.sinks[sink][c.SO2_MG] == 0.0


def halved(preparation: Preparation) -> Preparation:
    def half(quantity: Quantity | None) -> Quantity | None:
        return quantity.times(0.5) if quantity is not None else None

    def half_line(line: Line) -> Line:
        return replace(line, quantity=line.quantity.times(0.5))

    return replace(
        preparation,
        takes=tuple(half_line(line) for line in preparation.takes),
        method=tuple(
            replace(step, lines=tuple(half_line(line) for line in step.lines)) for step in preparation.method
        ),
        gives=tuple(replace(one, weighs=half(one.weighs)) for one in preparation.gives),
        gives_weight=half(preparation.gives_weight),
    )


@BOUNDED
@given(preparations())
def test_half_a_batch_is_half_of_everything(preparation: Preparation) -> None:
    whole, _ = make_all(preparation)
    half, _ = make_all(halved(preparation))
    assert len(whole) == len(half)
    for one, other in zip(whole, half, strict=True):
        for name, batch in one.given.items():
            np.testing.assert_allclose(
                other.given[name].rows.sum(axis=0), batch.rows.sum(axis=0) / 2.0, rtol=1e-6, atol=1e-6
            )


@BOUNDED
@given(
    fruit_g=grams,
    spirit_g=grams,
    sugar_g=st.floats(0.0, 500.0),
    as_=st.sampled_from((*MACERATED_AS, "")),
    fruit=st.sampled_from(FRUIT),
    first=st.floats(1.0, 60 * 1440.0),
    longer=st.floats(1.0, 60 * 1440.0),
)
def test_longer_in_the_jar_the_fruit_holds_no_less(
    fruit_g: float, spirit_g: float, sugar_g: float, as_: str, fruit: str, first: float, longer: float
) -> None:
    takes = [(fruit, fruit_g), ("spirit", spirit_g), *([("sugar", sugar_g)] if sugar_g else [])]
    found = []
    for time in (first, first + longer):
        preparation = Preparation(
            "it",
            HERE,
            tuple(
                Line(
                    f"{size:g} g {name}",
                    HERE,
                    name,
                    Quantity(size, size, size),
                    "mass",
                    "g",
                    Target("ingredient", name),
                )
                for name, size in takes
            ),
            (
                Step("macerate", HERE, "macerate", solids=(fruit,), minutes=time, as_=as_),
                Step("strain", HERE, "strain"),
            ),
            (Given("it", HERE, "liquor"), Given("solids of it", HERE, "solids")),
        )
        made, faults = make_all(preparation)
        assert faults == []
        found.append([c.ethanol_g(made[0].given[name].rows) for name in ("it", "solids of it")])
    (liquor, solids), (liquor_later, solids_later) = found
    assert solids_later >= solids - 1e-9 * spirit_g
    assert liquor_later <= liquor + 1e-9 * spirit_g
