"""Invariants of aroma changes (appeared, faded, stayed), of oak and of quality."""

from hypothesis import given
from hypothesis import strategies as st

from tests.reference.rules.oak import assess_oak
from webapp import spec
from webapp.rules.nose import STEPS, aroma_family, complexity_evidence, evolution, noted_aromas
from webapp.rules.quality import assess_quality

IDS = st.sampled_from(spec.vocabulary("aroma"))
ENTRIES = (
    IDS
    | st.builds("{}:{}".format, IDS, st.integers(1, 3))
    | st.text(min_size=1, max_size=12).map(lambda text: f"~{text}")
)
NOSES = st.fixed_dictionaries(
    {}, optional={step: st.none() | st.lists(ENTRIES, max_size=8) for step in STEPS}
)
LEVELS = ["slight", "sound", "fine", "rare"]
SCALE = st.integers(0, 20).map(lambda half: half / 2)


@given(NOSES)
def test_aroma_changes_agree_with_both_steps(tasting):
    found = evolution(tasting)
    for change in found["changes"]:
        before, after = (
            set(noted_aromas({change[side]: tasting[change[side]]})) for side in ("before", "after")
        )
        assert set(change["appeared"]) <= after - before
        assert set(change["stayed"]) == after & before
        gone = before - after if change["stayed"] else set()
        assert set(change["faded"]) == gone
        assert {*change["stronger"], *change["weaker"]} <= set(change["stayed"])


@given(NOSES)
def test_complexity_increases_with_every_aroma(tasting):
    readings = [None, "plain", "some", "layered", "manifold"]
    more = {**tasting, "first_nose_words": [*(tasting.get("first_nose_words") or []), "~another"]}
    before, after = complexity_evidence(tasting), complexity_evidence(more)
    assert after["families"] >= before["families"]
    assert before["families"] <= max(before["words"], 0)
    if after["changes"] >= before["changes"]:
        assert readings.index(after["reading"]) >= readings.index(before["reading"])


def test_aroma_ids_have_a_family_and_custom_words_none():
    families = {family["id"] for family in spec.load("aromas")["families"]}
    assert {aroma_family(word) for word in spec.vocabulary("aroma")} == families
    assert aroma_family("~attic") is None


@given(NOSES, st.none() | SCALE)
def test_oak_estimate_is_a_share_and_new_needs_likely_oak(tasting, oak):
    found = assess_oak({**tasting, "oak": oak})
    if found["oak"] is None:
        assert found["reasons"] == []
        return
    assert 0 < found["p_oak"] < 1
    assert (found["new"] is not None) == (found["oak"] in ("likely", "clear"))


@given(st.sampled_from(["vanilla", "toast", "coconut", "espresso"]), st.integers(1, 2))
def test_stronger_wood_aroma_raises_the_oak_estimate(word, strength):
    weak, strong = (
        assess_oak({"first_nose_words": [f"{word}:{n}"]}) for n in (strength, strength + 1)
    )
    assert strong["p_oak"] > weak["p_oak"]


@given(SCALE, SCALE, st.integers(0, 60), SCALE)
def test_better_balance_never_lowers_quality(balance, complexity, finish_s, more):
    tasting = {"balance": balance, "complexity": complexity, "finish_s": finish_s}
    better = {**tasting, "balance": min(10, balance + more)}
    before, after = assess_quality(tasting)["level"], assess_quality(better)["level"]
    assert LEVELS.index(after) >= LEVELS.index(before)


@given(SCALE, SCALE, st.integers(0, 60), st.integers(1, 9), st.integers(1, 9))
def test_liking_never_changes_quality(balance, complexity, finish_s, one, other):
    tasting = {"balance": balance, "complexity": complexity, "finish_s": finish_s}
    assert assess_quality({**tasting, "liking": one}) == assess_quality(
        {**tasting, "liking": other}
    )
