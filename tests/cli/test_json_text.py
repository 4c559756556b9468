"""Indented JSON is written as the library writes it."""

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labeller.cli.json_text import indented

VALUES: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner) | st.tuples(inner, inner),
    max_leaves=20,
)


@settings(max_examples=60, deadline=None)
@given(VALUES, st.integers(0, 4))
def test_it_writes_what_the_library_writes(value: Any, indent: int) -> None:
    assert indented(value, indent) == json.dumps(value, ensure_ascii=False, indent=indent)


def test_a_key_that_is_no_text_is_refused() -> None:
    with pytest.raises(TypeError, match="a key of JSON is text, and 1 is not"):
        indented({1: "one"})
