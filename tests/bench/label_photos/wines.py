"""Invents wines and the texts of their labels in four languages."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

ROOT = Path(__file__).parents[3]
NAMES: list[dict[str, Any]] = json.loads(
    (ROOT / "static/spec/wine_names.json").read_text(encoding="utf-8")
)["groups"]
COUNTRIES = {
    "fr": ["FR"], "it": ["IT"], "de": ["DE"], "en": ["US", "AU", "NZ", "ZA"],
}  # fmt: skip
EU = {"FR", "IT", "DE"}
# Invented producers: common words of each language, joined at random.
PRODUCERS = {
    "fr": (
        ["Domaine", "Château", "Clos", "Maison"],
        ["des Trois Chênes", "de la Forêt Bleue", "du Vieux Puits", "Hélène Morvault"],
    ),
    "it": (
        ["Tenuta", "Cantina", "Podere", "Fattoria"],
        [
            "del Falco Grigio",
            "Tre Colombe",
            "La Quercia Alta",
            "della Società Antica",
            "Più Avanti",
        ],
    ),
    "de": (
        ["Weingut", "Schloss", "Kellerei"],
        ["Grünwälder", "Müller-Straßburg", "Überlinger Hof", "Königsweiher", "Zum Alten Bär"],
    ),
    "en": (
        ["Estate", "Ridge", "Creek", "Hill"],
        ["Falling Heron", "Copper Lantern", "Quiet Badger", "Marrow Gate", "Tall Thistle"],
    ),
}
QUALITY = {
    "fr": ["Premier Cru", "Grand Cru", "Vieilles Vignes", ""],
    "it": ["Riserva", "Superiore", "Classico", ""],
    "de": ["Kabinett", "Spätlese", "Qualitätswein", ""],
    "en": ["Reserve", "", ""],
}
SWEET = {
    "fr": [("Brut", "brut"), ("Sec", "dry"), ("Demi-Sec", "medium_dry"), ("Moelleux", "medium")],
    "it": [("Secco", "dry"), ("Abboccato", "medium_dry"), ("Amabile", "medium")],
    "de": [("Trocken", "dry"), ("Halbtrocken", "medium_dry"), ("Lieblich", "medium")],
    "en": [("Dry", "dry"), ("Medium Dry", "medium_dry")],
}
ALCOHOL = {
    "fr": ["{c} % vol", "{c}% vol.", "Alc. {c} % vol.", "TAV {c} % VOL", "ALC. {c}% VOL.", "{c}°"],
    "it": ["{c}% vol", "{c} % vol.", "Alc. {c}% vol", "ALC. {c}% VOL"],
    "de": ["{c} % vol", "Alk. {c} % Vol.", "alc {c} % vol", "{c}% vol."],
    "en": ["{p}% vol", "ALC. {p}% VOL", "{p}% ABV", "Alc {p}% by vol."],
    "US": [
        "ALC. {p}% BY VOL.",
        "ALCOHOL {p}% BY VOLUME",
        "{p}% ALC./VOL.",
        "ALC {p}% BY VOL",
        "ALCOHOL {low}% TO {high}% BY VOLUME",
    ],
}
VOLUME = {750: ["75 cl", "750 ml", "0,75 l", "75 cl e", "750 mL"], 375: ["37,5 cl", "375 ml"],
          1500: ["1,5 l", "150 cl"], 187: ["187 ml"], 500: ["50 cl", "500 ml"]}  # fmt: skip
ORIGIN = {
    "FR": ["Produit de France", "Product of France"], "IT": ["Prodotto in Italia", "Product of "
    "Italy"], "DE": ["Product of Germany", "Erzeugnis aus Deutschland"],
    "US": ["Product of USA", ""], "AU": ["Wine of Australia", "Product of Australia"],
    "NZ": ["Product of New Zealand"], "ZA": ["Product of South Africa"],
    "GB": ["Product of England", "Produce of the United Kingdom"],
}  # fmt: skip
SMALL = {
    "fr": ["Mis en bouteille à la propriété", "Contient des sulfites", "Élevé en fût de chêne"],
    "it": ["Imbottigliato all'origine", "Contiene solfiti"],
    "de": ["Erzeugerabfüllung", "Enthält Sulfite", "L 1124 8"],
    "en": ["Contains sulphites", "Hand picked from our oldest vines", "Est. 1887"],
}


@dataclass(frozen=True, slots=True)
class Wine:
    """An invented wine; `low` and `high` if the label states a range of alcohol."""

    language: str
    country: str
    producer: str
    name: str
    style: str
    vintage: int | None
    alcohol: float
    low: float | None
    high: float | None
    volume_ml: int
    sweetness: str | None
    texts: dict[str, str]


def _appellations(country: str) -> list[tuple[str, str]]:
    """Return (name, style) of every name whose style the table states."""
    found = []
    for group in NAMES:
        default = group.get("default")
        if group["kind"] != "appellation" or group.get("country") != country or not default:
            continue
        style = group["styles"].get(default, "-")
        found += [(name, style) for name in group["names"] if style != "-" and len(name) < 26]
    return found


def _grapes(country: str) -> list[tuple[str, str]]:
    groups = [group for group in NAMES if group["kind"] == "grape"]
    named = [(group["names"][0], group.get("by", {}).get(country, "-")) for group in groups]
    return [(name, style) for name, style in named if style != "-"]


def _alcohol_text(rng: Random, key: str, value: float) -> tuple[str, float | None, float | None]:
    form = rng.choice(ALCOHOL[key])
    low, high = round(value - 1), round(value - 1) + 2
    text = form.format(p=f"{value:g}", c=f"{value:g}".replace(".", ","), low=low, high=high)
    return (text, low, high) if "{low}" in form else (text, None, None)


def invent(seed: int) -> Wine:
    """Return the wine of a seed."""
    rng = Random(f"wine {seed}")
    language = ("fr", "it", "de", "en")[seed % 4]
    country = rng.choice(COUNTRIES[language])
    known = _appellations(country) if country in EU else []
    name, style = rng.choice(known if len(known) > 4 else _grapes(country))
    first, second = (rng.choice(words) for words in PRODUCERS[language])
    producer = f"{second} {first}" if language == "en" else f"{first} {second}"
    volume_ml = rng.choice([750] * 8 + [375, 1500, 187, 500])
    value = rng.choice([x / 2 for x in range(22, 32)]) if country != "US" else (
        rng.choice([x / 10 for x in range(115, 156)]))  # fmt: skip
    text, low, high = _alcohol_text(rng, "US" if country == "US" else language, value)
    sparkling = style.startswith("spk_")
    word, sweetness = rng.choice(SWEET[language]) if sparkling or rng.random() < 0.25 else ("", "")
    if sparkling:
        word, sweetness = "Brut", "brut"
    elif sweetness == "brut":
        word, sweetness = "Sec", "dry"
    vintage = rng.randint(2005, 2025) if rng.random() < 0.9 else None
    texts = {
        "producer": producer, "name": name, "quality": rng.choice(QUALITY[language]),
        "sweet": word, "vintage": str(vintage or ""), "alcohol": text,
        "volume": rng.choice(VOLUME[volume_ml]), "origin": rng.choice(ORIGIN[country]),
        "small": rng.choice(SMALL[language]),
    }  # fmt: skip
    return Wine(language, country, producer, name, style, vintage, value, low, high, volume_ml,
                sweetness or None, texts)  # fmt: skip
