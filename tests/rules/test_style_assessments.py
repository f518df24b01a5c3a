"""A tasting that matches its style's description gets no wrong assessment."""

import json
import subprocess

import pytest

from tests.browser.engines import ROOT
from tests.reference.rules.age import compare_with_vintage, estimate_age
from tests.reference.rules.oak import assess_oak
from webapp import spec
from webapp.rules.quality import assess_quality

STYLES = spec.load("styles")["styles"]
DRIED = {
    "red_amarone",
    "red_ripasso",
    "swt_recioto_red",
    "swt_vin_santo",
    "swt_pantelleria",
    "swt_constantia",
    "frt_commandaria",
    "frt_malaga",
}
SPARKLING = ("sparkling", "semi_sparkling")
YEAR = 2026
# Years in cask before these styles are sold.
SOLD_AT = {"wht_vin_jaune": 7, "swt_vin_santo": 5, "red_amarone": 4}


def described(style):
    return {
        "first_nose_words": list(style["aroma_families"]),
        "oak": style["oak"],
        "look_hue": style["ageing_hues"][0],
        "fruit_state": "dried" if style["style_id"] in DRIED else "fresh",
    }


def by_name(styles):
    return pytest.mark.parametrize("style", styles, ids=[s["style_id"] for s in styles])


@by_name([s for s in STYLES if s["oak"] < 1])
def test_style_without_oak_is_not_assessed_as_oaked(style):
    assert assess_oak(described(style), style)["oak"] in ("none", "doubtful")


@by_name([s for s in STYLES if s["oak"] >= 4])
def test_oaked_style_is_not_assessed_as_unoaked(style):
    assert assess_oak(described(style), style)["oak"] in ("likely", "clear")


@by_name([s for s in STYLES if 1 <= s["oak"] < 4])
def test_partly_oaked_style_is_not_certain(style):
    without = {**described(style), "oak": None}
    assert assess_oak(without, style)["oak"] != "clear"
    assert assess_oak(described(style), style)["new"] != "new"


@by_name([s for s in STYLES if s["kind"] in SPARKLING and s["oak"] < 2])
def test_lees_aromas_are_not_assessed_as_oak(style):
    lees = {"first_nose_words": ["toast", "brioche", "biscuit"]}
    assert assess_oak(lees, style)["oak"] in ("none", "doubtful")


@by_name([s for s in STYLES if s["kind"] == "fortified"])
def test_old_cask_aromas_are_not_assessed_as_new_oak(style):
    old = {**described(style), "sip_words": ["coffee:3", "caramel:3", "dark_chocolate:3"]}
    assert assess_oak(old, style)["new"] != "new"


@by_name(STYLES)
def test_style_as_sold_matches_its_vintage(style):
    age = SOLD_AT.get(style["style_id"], 2)
    bottle = {"colour": style["colour"], "kind": style["kind"]}
    reading = estimate_age(described(style), bottle, style)
    found = compare_with_vintage(reading, YEAR - age, YEAR)["position"]
    assert found in ("fits", "unknown")


def test_short_finish_is_never_fine_quality():
    tasting = {"finish_s": 12, "complexity": 8, "balance": 8}
    assert assess_quality(tasting)["level"] == "sound"
    assert assess_quality({**tasting, "finish_s": 20})["level"] == "fine"


def test_phone_assesses_every_style_like_the_server():
    script = """
      import { assessOak } from './static/rules/tasting/oak.js';
      import { estimateAge } from './static/rules/tasting/age.js';
      let text = '';
      for await (const part of process.stdin) text += part;
      const results = JSON.parse(text).map(([tasting, bottle, style]) => [
        assessOak(tasting, style).oak, assessOak(tasting, style).new,
        estimateAge(tasting, bottle, style).known]);
      console.log(JSON.stringify(results));"""
    asked = [(described(s), {"colour": s["colour"], "kind": s["kind"]}, s) for s in STYLES]
    run = subprocess.run(
        ["node", "--input-type=module", "-e", script],
        input=json.dumps(asked),
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    here = [
        [assess_oak(t, s)["oak"], assess_oak(t, s)["new"], estimate_age(t, b, s)["known"]]
        for t, b, s in asked
    ]
    assert json.loads(run.stdout) == here


def test_notes_on_aromas_and_age_name_known_styles():
    rules = spec.load("evidence")
    lists = [*rules["oak"]["not_from_wood"], *rules["age"]["says_nothing"]]
    named = {style for rule in lists for style in rule.get("styles", [])}
    assert named <= {style["style_id"] for style in STYLES}


def test_only_old_casks_make_years_in_cask():
    years = next(
        rule
        for rule in spec.load("evidence")["oak"]["not_from_wood"]
        if rule["note"] == "from_years_in_cask"
    )
    assert "frt_port_tawny" in years["styles"]
    assert not {"frt_port_vintage", "frt_vdn_muscat", "frt_fino"} & set(years["styles"])
