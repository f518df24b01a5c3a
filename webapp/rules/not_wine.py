"""Tells the names of vermouths, other aromatised wines and ciders from those of wines."""

import re
from functools import cache

from webapp import spec
from webapp.rules.plain_text import plain_text


def is_not_wine(name: object) -> bool:
    """Return whether a name is that of a vermouth, another aromatised wine or a cider."""
    aromatised, cider, use, estate, grapes = _patterns()
    plain = estate.sub(" ", use.sub(" ", _in_words(name if isinstance(name, str) else "")))
    if aromatised.search(plain):
        return True
    return bool(cider.search(plain)) and not grapes.search(plain)


def _in_words(text: str) -> str:
    return re.sub("[^a-z]+", " ", plain_text(text)).strip()


@cache
def _patterns() -> tuple[re.Pattern[str], ...]:
    words, styles = spec.load("label_rules")["not_wine"], spec.load("styles")["styles"]
    drinks = _any_of([*words["aromatised"], *words["cider"]])
    before, after = _any_of(words["estate_before"]), _any_of(words["estate_after"])
    # What a wine is for, or goes with: "perfect for your own sangria".
    around = _any_of([*words["between"], *words["use_between"], drinks])
    use = f"{_any_of(words['use'])} (?:{around} )*{drinks}"
    # An estate stands before such a word in Romance languages, and after it in English:
    # "Cidre Domaine" is a cider.
    estate = f"{before} (?:{_any_of(words['between'])} )*{drinks}|{drinks} {after}"
    # Other names are left out, because "Breton", one of them, is in a cider's name too.
    grapes = [grape for style in styles for grape in style["grapes"]]
    return (
        re.compile(_any_of(words["aromatised"])),
        re.compile(_any_of(words["cider"])),
        re.compile(use),
        re.compile(estate),
        re.compile(_any_of([_in_words(grape) for grape in grapes])),
    )


def _any_of(words: list[str]) -> str:
    return rf"\b(?:{'|'.join(words)})\b"
