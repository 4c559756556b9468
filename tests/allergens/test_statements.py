"""The corpus of statements: no allergen may be missed in either half; what is wrongly added is counted and bounded."""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

from labeller.allergens.reader import read_statement


def _corpus() -> ModuleType:
    """Load the helper beside this file; the tests are not a package."""
    spec = importlib.util.spec_from_file_location("statement_corpus", Path(__file__).with_name("corpus.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


corpus = _corpus()
HALVES = {"statements_working.yaml": 2, "statements_set_aside.yaml": 12}  # the most that may be wrongly added


def test_the_corpus_is_large_and_half_set_aside() -> None:
    working, aside = (corpus.load_corpus(name) for name in HALVES)
    assert len(working) + len(aside) >= 250
    assert abs(len(working) - len(aside)) <= 5
    texts = [statement.text for statement in (*working, *aside)]
    assert len(set(texts)) == len(texts)


def test_the_answers_name_sources_and_kinds_that_exist() -> None:
    vocabulary = corpus.load_vocabulary()
    kinds = set(vocabulary.sources.values())
    for name in HALVES:
        for statement in corpus.load_corpus(name):
            assert {source for source, _ in statement.has} | statement.may <= set(vocabulary.sources), statement.text
            assert statement.open_kinds <= kinds, statement.text


@pytest.mark.parametrize("name", HALVES)
def test_no_allergen_is_missed(name: str) -> None:
    missed = {
        each.statement.text: each.missed for each in map(corpus.compare, corpus.load_corpus(name)) if each.missed
    }
    assert missed == {}


@pytest.mark.parametrize(("name", "most"), HALVES.items())
def test_what_is_wrongly_added_is_bounded(name: str, most: int) -> None:
    added = [what for each in map(corpus.compare, corpus.load_corpus(name)) for what in each.added]
    assert len(added) <= most
    assert [what for what in added if not what.startswith("open ")] == []


@pytest.mark.parametrize(
    ("words", "sources"),
    [
        ("anchoiade", {"fish"}),
        ("sauce gribiche", {"egg", "mustard"}),
        ("mornay sauce", {"milk", "wheat"}),
        ("cantuccini", {"wheat", "almond", "egg"}),
        ("muhammara", {"walnut"}),
        ("gyoza", {"wheat"}),
    ],
)
def test_made_dishes_named_alone(words: str, sources: set[str]) -> None:
    """What they are made of: common practice, no source."""
    assert {one.source for one in read_statement(f"sugar, {words}").contains} == sources


def test_cabbage_is_no_pastry() -> None:
    """French 'choux de Bruxelles' are sprouts (common practice, no source)."""
    assert not read_statement("choux de Bruxelles, sel").contains
