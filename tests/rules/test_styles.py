"""Data of styles, aromas and evidence: completeness, consistency and legal limits."""

import json
from pathlib import Path

import pytest

from webapp import spec
from webapp.rules.nose import aroma_family

STYLES = spec.load("styles")["styles"]
BY_ID = {style["style_id"]: style for style in STYLES}
SCALES = ("sweetness", "acidity", "tannin", "body", "oak", "intensity")


# Stored bottles refer to these ids, so none may be renamed or removed.
KEPT_IDS = Path(__file__).with_name("published_style_ids.txt").read_text("utf-8").split()

# Widely sold wines that had no style of their own in earlier releases.
ADDED = [
    "wht_gavi",
    "wht_arneis",
    "wht_falanghina",
    "wht_etna",
    "wht_friulano",
    "wht_godello",
    "wht_txakoli",
    "wht_picpoul",
    "wht_aligote",
    "wht_chasselas",
    "wht_silvaner",
    "wht_koshu",
    "wht_moschofilero",
    "wht_muscat_dry",
    "red_bandol",
    "red_bairrada",
    "red_nemea",
    "red_sagrantino",
    "red_lagrein",
    "red_schiava",
    "red_bobal",
    "red_petite_sirah",
    "red_jura",
    "red_plavac_mali",
    "red_feteasca",
    "red_syrah_nw_cool",
    "red_gsm_nw",
    "red_lebanon",
    "spk_cap_classique",
    "spk_brachetto",
    "swt_riesling_auslese",
    "swt_jurancon",
    "swt_alsace_vt",
    "swt_constantia",
    "swt_pantelleria",
    "frt_setubal",
    "frt_commandaria",
    "frt_malaga",
    "frt_topaque",
]


def test_styles_have_unique_ids():
    assert len(STYLES) == len(BY_ID)
    assert sum(style["core_set"] for style in STYLES) == 64


def test_styles_retain_published_ids():
    assert len(KEPT_IDS) == 119
    assert set(KEPT_IDS) <= BY_ID.keys()


@pytest.mark.parametrize("style_id", ADDED)
def test_styles_hold_the_widely_sold_wines(style_id):
    assert style_id in BY_ID


def test_styles_name_no_grape_twice():
    also = spec.load("styles")["grapes_also_called"]

    def same(one, other):
        return one == other or other in also.get(one, []) or one in also.get(other, [])

    assert [
        (style["style_id"], one, other)
        for style in STYLES
        for at, one in enumerate(style["grapes"])
        for other in style["grapes"][at + 1 :]
        if same(one, other)
    ] == []


@pytest.mark.parametrize("field", ["grapes", "regions", "aroma_families", "nicknames"])
def test_styles_repeat_nothing_in_a_list(field):
    assert [s["style_id"] for s in STYLES if len(set(s[field])) < len(s[field])] == []


def test_style_strength_limits_have_a_legal_source():
    items = ("legal_source", "legal_basis", "legal_status")
    for style in STYLES:
        bound = style["legal_min_abv"] is not None or style["legal_max_abv"] is not None
        assert [style[field] is not None for field in items] == [bound] * 3, style["style_id"]


def test_style_limits_of_mixed_laws_are_empty():
    mixed = ("red_primitivo", "swt_sauternes", "swt_icewine", "wht_rhone_blend")
    for style_id in mixed:
        assert BY_ID[style_id]["legal_min_abv"] is None
        assert BY_ID[style_id]["note"].startswith("no floor binds all of them")
    assert "only legal maximum" not in json.dumps(STYLES)
    assert [s["style_id"] for s in STYLES if "legal MAXIMUM" in (s["note"] or "")] == []


def test_rutherglen_muscat_and_topaque_are_of_two_grapes():
    assert BY_ID["frt_rutherglen"]["grapes"] == ["Muscat à petits grains rouge"]
    assert "topaque" not in BY_ID["frt_rutherglen"]["nicknames"]
    assert BY_ID["frt_topaque"]["grapes"] == ["Muscadelle"]


def errors_of(style):
    """Return the names of the checks that a style fails."""
    families = {family["id"] for family in spec.load("aromas")["families"]}
    hues = {hue["id"]: hue["colour"] for hue in spec.load("hues")["hues"]}
    holds = {
        "strengths in order": style["abv_low"] <= style["abv_typ"] <= style["abv_high"],
        "scales": all(0 <= style[scale] <= 10 and style[f"{scale}_sd"] > 0 for scale in SCALES),
        "colour": style["colour"] in spec.vocabulary("colour"),
        "kind": style["kind"] in spec.vocabulary("bottle_kind"),
        "group": style["group"] == f"{style['colour']}_{style['kind']}",
        "serving range": style["serve_c_low"] < style["serve_c_high"],
        "regions": bool(style["regions"]),
        "nicknames": bool(style["nicknames"]),
        "aroma families": style["aroma_families"] and set(style["aroma_families"]) <= families,
        "hues of its colour": {hues.get(hue) for hue in style["ageing_hues"]} == {style["colour"]},
    }
    return [name for name, entry in holds.items() if not entry]


def test_every_style_is_complete():
    wrong = {style["style_id"]: errors_of(style) for style in STYLES}
    assert {style: errors for style, errors in wrong.items() if errors} == {}


@pytest.mark.parametrize(
    ("change", "error"),
    [
        ({"abv_low": 30}, "strengths in order"),
        ({"acidity": 11}, "scales"),
        ({"tannin_sd": 0}, "scales"),
        ({"colour": "blue"}, "colour"),
        ({"kind": "blue"}, "kind"),
        ({"group": "blue"}, "group"),
        ({"serve_c_low": 40}, "serving range"),
        ({"regions": []}, "regions"),
        ({"nicknames": []}, "nicknames"),
        ({"aroma_families": []}, "aroma families"),
        ({"aroma_families": ["blue"]}, "aroma families"),
        ({"ageing_hues": []}, "hues of its colour"),
        ({"ageing_hues": ["blue"]}, "hues of its colour"),
    ],
)
def test_an_incomplete_style_is_found(change, error):
    assert error in errors_of({**STYLES[0], **change})


@pytest.mark.parametrize(
    ("style_id", "least", "most", "basis", "status"),
    [
        # From the specifications in legal_source; "memory" if the text was not consulted.
        ("red_barolo", 13.0, None, "total", "memory"),
        ("red_brunello", 12.5, None, "total", "memory"),
        ("red_gsm", 12.5, None, "natural", "seen"),
        ("red_rioja_young", 11.5, None, "actual", "seen"),
        ("spk_prosecco", 11.0, None, "total", "seen"),
        ("frt_fino", 15.0, 17.0, "actual", "seen"),
        ("spk_moscato_dasti", 4.5, 6.5, "actual", "seen"),
        ("spk_cava", 10.8, 12.8, "actual", "seen"),
        ("frt_madeira_dry", 17.0, 22.0, "actual", "seen"),
        ("frt_madeira_sweet", 17.0, 22.0, "actual", "seen"),
        ("swt_tba", 5.0, None, "actual", "memory"),
    ],
)
def test_legal_strengths_are_those_of_the_specifications(style_id, least, most, basis, status):
    style = BY_ID[style_id]
    assert (style["legal_min_abv"], style["legal_max_abv"]) == (least, most)
    assert (style["legal_basis"], style["legal_status"]) == (basis, status)
    assert style["legal_source"]


def test_fortified_styles_keep_to_the_strengths_of_liqueur_wine():
    # OIV Code I.4.3 (text consulted): actual strength 15 to 22 %.
    fortified = [style for style in STYLES if style["kind"] == "fortified"]
    assert fortified
    assert all(style["abv_low"] >= 15 and style["abv_high"] <= 22 for style in fortified)


def test_actual_strength_limit_fits_the_typical_range():
    # Reg (EU) 1308/2013 Annex VII: wines with a protected origin have at least 4.5 %.
    for style in STYLES:
        if style["legal_basis"] == "actual":
            assert style["abv_high"] <= (style["legal_max_abv"] or 22), style["style_id"]
            assert 4.5 <= style["legal_min_abv"] <= style["abv_typ"], style["style_id"]


def test_aroma_words_are_unique_and_have_english():
    path = spec.static_root() / "words" / "en" / "aromas.json"
    english = json.loads(path.read_text("utf-8"))
    families = spec.load("aromas")["families"]
    words = [word for family in families for word in family["words"]]
    same_as = spec.load("aromas")["same_as"]
    assert len(words) == len(set(words))
    assert not set(words) & same_as.keys()
    assert set(same_as.values()) <= set(words)
    assert {f"aroma.{word}" for word in words} <= english.keys()
    assert {f"aroma_family.{family['id']}" for family in families} <= english.keys()
    assert all(3 <= len(family["words"]) <= 10 for family in families)


def test_aroma_named_like_a_family_is_in_that_family():
    families = spec.load("aromas")["families"]
    names = {family["id"] for family in families}
    homes = {word: family["id"] for family in families for word in family["words"]}
    assert all(home == word for word, home in homes.items() if word in names)


ONE_SMELL = [
    {"apple_skin", "apple_peel"},
    {"orange_blossom", "orange_flower"},
    {"banana", "ripe_banana"},
    {"undergrowth", "forest_floor"},
    {"molasses", "black_treacle"},
    {"dill", "dill_leaf"},
    {"rose", "rose_water"},
]


def test_synonymous_aroma_words_are_offered_once():
    offered = {word for family in spec.load("aromas")["families"] for word in family["words"]}
    assert [sorted(names) for names in ONE_SMELL if len(names & offered) != 1] == []


def test_aroma_ids_of_old_notes_are_still_known():
    kept = set().union(*ONE_SMELL)
    assert kept <= set(spec.vocabulary("aroma"))
    for names in ONE_SMELL:
        assert len({aroma_family(word) for word in names}) == 1


@pytest.mark.parametrize("language", spec.vocabulary("language"))
def test_aroma_words_of_two_families_have_distinct_names(language):
    path = spec.static_root() / "words" / language / "aromas.json"
    payload = json.loads(path.read_text("utf-8"))
    homes = {}
    for family in spec.load("aromas")["families"]:
        for word in family["words"]:
            homes.setdefault(payload[f"aroma.{word}"].casefold(), set()).add(family["id"])
    assert {word: home for word, home in homes.items() if len(home) > 1} == {}
