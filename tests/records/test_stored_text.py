"""The stored JSON text of a value is the same whichever code wrote it."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from webapp.records.repository import to_json

values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3)
    ),
)


@given(values)
def test_value_is_stored_as_short_json(value: Any) -> None:
    assert to_json(value) == json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def test_escape_like_text_roundtrips() -> None:
    for text in ("\\u00fc", "\u00fc", "\\\\u", "a\tb", "\U0001f347", "\x7f"):
        assert json.loads(to_json({"words": text})) == {"words": text}
        assert to_json(text) == json.dumps(text, ensure_ascii=False)
