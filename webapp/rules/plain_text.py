"""Normalizes text for comparisons of names: the twin of ``static/lib/plain_text.js``."""

import re
import unicodedata

# Letters that have no decomposition.
_SAME = str.maketrans(
    {"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ı": "i", "ð": "d", "þ": "th"}
)
_APOSTROPHES = re.compile("[\u2018\u2019\u02bc`\u00b4]")
_HYPHENS = re.compile("[\u2010-\u2014]")
# JavaScript's spaces, which are not those of Python; the others are decomposed to U+0020.
_SPACES = re.compile("[\t-\r \u1680\u2028\u2029\ufeff]+")


def plain_text(text: str) -> str:
    """Normalize case, accents, ligatures, apostrophes, hyphens and spaces."""
    letters = unicodedata.normalize("NFKD", _APOSTROPHES.sub("'", text))
    plain = "".join(each for each in letters if not unicodedata.category(each).startswith("M"))
    return _SPACES.sub(" ", _HYPHENS.sub("-", plain.lower().translate(_SAME)))
