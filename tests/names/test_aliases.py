"""Every appellation named in the styles' notes is mapped to its style."""

import json
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
NODE = shutil.which("node")
STYLES: list[dict[str, Any]] = json.loads(
    (ROOT / "static/spec/styles.json").read_text(encoding="utf-8")
)["styles"]
GENERAL = json.loads((ROOT / "tests/names/general_words.json").read_text(encoding="utf-8"))
# Matches "Chablis AOC cahier des charges", "Rías Baixas PDO", "floor of Taurasi only".
WORD = r"(?:d[’'])?[A-ZÀ-Þ][\w’'-]+"
NAME = rf"{WORD}(?: (?:(?:de|del|della|di|du|do|la) )?{WORD})*"
BEFORE_A_RANK = re.compile(rf"({NAME}) (?:AOC|DOCG|DOCa|DOC|DO|PDO)\b")
ONLY = re.compile(rf"\bfloor of ({NAME}) only")

pytestmark = pytest.mark.skipif(NODE is None, reason="needs Node")


def styles_for(names: list[str]) -> dict[str, list[str]]:
    """Map each name to the styles proposed for it, best first."""
    script = (
        "import { stylesFor } from './static/rules/label/style_from_name.js';"
        f"console.log(JSON.stringify({json.dumps(names)}.map((name) => stylesFor(name))))"
    )
    assert NODE is not None
    arguments = [NODE, "--input-type=module", "-e", script]
    done = subprocess.run(arguments, cwd=ROOT, capture_output=True, text=True, check=True)
    found = [[one["style"] for one in each] for each in json.loads(done.stdout)]
    return dict(zip(names, found, strict=True))


def missed(named: dict[str, list[str]]) -> list[tuple[str, str]]:
    """Return the pairs of a style and one of its names that does not lead to it."""
    found = styles_for(sorted({name for names in named.values() for name in names}))
    return [(s, name) for s, names in named.items() for name in names if s not in found[name]]


def test_aliases_appellations_of_notes_lead_to_their_style() -> None:
    named = {}
    for style in STYLES:
        notes = f"{style['legal_source'] or ''}; {style['note'] or ''}"
        named[style["style_id"]] = BEFORE_A_RANK.findall(notes) + ONLY.findall(notes)
    assert sum(map(len, named.values())) >= 40
    assert missed(named) == []


def test_aliases_nicknames_lead_to_their_style() -> None:
    general = set(GENERAL["words"])
    named = {}
    for style in STYLES:
        grapes = GENERAL["grapes"].get(style["style_id"], [])
        names = set(style["nicknames"] or ()) - set(grapes)
        named[style["style_id"]] = sorted(name for name in names if name.lower() not in general)
    assert sum(map(len, named.values())) >= 250
    assert missed(named) == []


def test_aliases_general_words_are_never_certain() -> None:
    words = [*GENERAL["words"]]
    script = (
        "import { stylesFor } from './static/rules/label/style_from_name.js';"
        f"console.log(JSON.stringify({json.dumps(words)}.filter((word) =>"
        " stylesFor(word)[0]?.certainty === 'certain')))"
    )
    assert NODE is not None
    arguments = [NODE, "--input-type=module", "-e", script]
    done = subprocess.run(arguments, cwd=ROOT, capture_output=True, text=True, check=True)
    assert json.loads(done.stdout) == ["metodo classico"]


@pytest.mark.parametrize(
    ("name", "style"),
    [
        # With a grape and a place, an appellation of another country is a producer's name.
        ("Casa Toro Malbec Mendoza", "red_malbec_mendoza"),
        # A dry Auslese tastes as dry Riesling, in Austria as in Germany.
        ("Riesling Burgenland Auslese trocken", "wht_riesling_dry"),
        # Other words may separate a wine's name from its appellation.
        ("Champagne Grand Cru Blanc de Blancs", "spk_champagne_bdb"),
        # A word for sparkling is not corrected to an appellation.
        ("Bulles roses", "spk_cremant"),
    ],
)
def test_names_among_other_words_find_their_style(name: str, style: str) -> None:
    assert styles_for([name])[name][:1] == [style]
