"""Aromas of nose and mouth: each tasting notes a part of the bottle's list."""

from random import Random

from tests.example_data.persona import Profile, stream
from tests.example_data.source_tables import age_years, aroma_families, styles

OAK_FAMILIES = {"vanilla", "toast", "coconut_dill", "cedar", "smoke", "coffee", "chocolate"}
LATE_FAMILIES = {
    "dried_fruit", "leather", "tobacco", "mushroom", "earth", "tar", "nut", "honey",
    "petrol", "butter", "caramel", "saline", "tea", "spice",
}  # fmt: skip
RED_FLOWERS = ["rose", "violet", "peony", "lavender"]
WHITE_FLOWERS = ["acacia", "elderflower", "jasmine", "honeysuckle", "orange_blossom"]
SHIFTY = 0.25
"""Chance that a word comes or goes from one step to the next."""


def smells(bottle: dict[str, str], mouth: Profile, year: int, occasion: str) -> dict[str, object]:
    """Return aromas of both noses and three sips; some families appear only after swirling."""
    rng = stream("smells", occasion)
    early, late = _words_of_the_bottle(bottle, mouth, year)
    first = _some(rng, early, 2 + (mouth["intensity"] > 6) + (rng.random() < 0.4))
    second = _moved_on(rng, first) + _some(rng, late, 1 + (rng.random() < 0.7))
    sip = _moved_on(rng, second) + _some(rng, [w for w in early if w not in second], 1)
    faded = _moved_on(rng, sip)
    last = _moved_on(rng, faded) + _some(rng, [w for w in late if w not in faded], 1)
    steps = {
        "first_nose_words": first,
        "second_nose_words": second,
        "sip_words": sip,
        "sip_2_words": faded if rng.random() < 0.55 else [],
    }
    steps["sip_3_words"] = last if steps["sip_2_words"] else []
    return {name: _with_strength(rng, words) for name, words in steps.items() if words}


def fruit_state(bottle: dict[str, str], mouth: Profile, year: int) -> str:
    age = age_years(bottle, year)
    if styles()[bottle["style"]]["kind"] in ("sweet", "fortified") or age > 8:
        return "dried"
    if mouth["warmth"] > 6.8:
        return "cooked"
    return "fresh" if age <= 3 and mouth["warmth"] < 5.6 else "ripe"


def _words_of_the_bottle(
    bottle: dict[str, str], mouth: Profile, year: int
) -> tuple[list[str], list[str]]:
    rng = stream("words of the bottle", bottle["key"])
    families = list(styles()[bottle["style"]]["aroma_families"])
    if mouth["oak"] > 4 and "vanilla" not in families:
        families.append("vanilla")
    if mouth["oak"] < 1:
        families = [family for family in families if family not in OAK_FAMILIES]
    early: list[str] = []
    late: list[str] = []
    for family in families:
        waits = family in LATE_FAMILIES | OAK_FAMILIES
        words = rng.sample(_likely(family, bottle), 1 if waits and rng.random() < 0.6 else 2)
        (late if waits else early).extend(words)
    if age_years(bottle, year) > 6:
        early, late = early + late[:2], late
    return early or late, late or early


def _likely(family: str, bottle: dict[str, str]) -> list[str]:
    """Return likely aromas of a family; floral ones depend on the colour of the wine."""
    if family != "floral":
        return aroma_families()[family][:5]
    return RED_FLOWERS if styles()[bottle["style"]]["colour"] == "red" else WHITE_FLOWERS


def _some(rng: Random, words: list[str], count: int) -> list[str]:
    return rng.sample(words, min(count, len(words)))


def _moved_on(rng: Random, words: list[str]) -> list[str]:
    kept = [word for word in words if rng.random() > SHIFTY]
    return kept or words[:1]


def _with_strength(rng: Random, words: list[str]) -> list[str]:
    distinct = list(dict.fromkeys(words))
    return [
        f"{word}:{rng.choice((1, 1, 2, 2, 3))}" if rng.random() < 0.35 else word
        for word in distinct
    ]
