"""Assesses quality from finish, complexity and balance, with reasons; liking has no influence."""

from collections.abc import Mapping
from typing import Any, TypedDict

from webapp import spec
from webapp.rules.assessments import classify_finish
from webapp.rules.nose import complexity_evidence
from webapp.rules.numbers import in_range, interpolate, round_half_up

MIN_JUDGED = 2


class Reason(TypedDict):
    """``of``: finish, complexity, balance or standout; ``pull``: negative lowers the level."""

    of: str
    code: str
    value: float | None
    pull: float


class Quality(TypedDict):
    """The assessment.

    ``level``: slight, sound, fine, rare, or None if fewer than two of the three were judged.
    """

    level: str | None
    reasons: list[Reason]
    missing: list[str]


def assess_quality(tasting: Mapping[str, object]) -> Quality:
    """Assess a tasting's quality from ``finish_s``, ``complexity``, ``balance``, ``standout``.

    Complexity that was not judged is derived from the aromas noted. "rare" requires a high total of
    all three, none of them low and nothing standing out; "fine" requires a minimum finish if timed.
    """
    rules = spec.load("evidence")["quality"]
    found = [_finish(tasting, rules), _complexity(tasting, rules), _balance(tasting, rules)]
    reasons = [reason for reason in found if reason is not None]
    names = ("finish", "complexity", "balance")
    missing = [name for name, reason in zip(names, found, strict=True) if reason is None]
    if len(reasons) < MIN_JUDGED:
        return {"level": None, "reasons": reasons, "missing": missing}
    level = _level(reasons, tasting, rules, not missing)
    standout = tasting.get("standout")
    if isinstance(standout, list) and standout:
        reasons.append(_stands_out(standout, rules))
    return {"level": level, "reasons": reasons, "missing": missing}


def _level(
    reasons: list[Reason], tasting: Mapping[str, object], rules: Mapping[str, Any], whole: bool
) -> str:
    pulls = {reason["of"]: reason["pull"] for reason in reasons}
    standout = tasting.get("standout")
    extra = rules["stands_out"] if isinstance(standout, list) and standout else 0
    total = round_half_up(sum(pulls.values()) + extra, 6)
    if total <= rules["slight_to"]:
        return "slight"
    seconds = in_range(tasting.get("finish_s"), "finish_s", 0, 3600)
    if total < rules["fine_from"] or (
        seconds is not None and seconds < rules["fine_finish_from_s"]
    ):
        return "sound"
    harmony = not extra and min(pulls.values()) >= rules["harmony_from"]
    return "rare" if whole and harmony and total >= rules["rare_from"] else "fine"


def _finish(tasting: Mapping[str, object], rules: Mapping[str, Any]) -> Reason | None:
    code = classify_finish(tasting.get("finish_s"))
    if code is None:
        return None
    seconds = in_range(tasting.get("finish_s"), "finish_s", 0, 3600)
    return {"of": "finish", "code": code, "value": seconds, "pull": rules["finish"][code]}


def _complexity(tasting: Mapping[str, object], rules: Mapping[str, Any]) -> Reason | None:
    judged = in_range(tasting.get("complexity"), "complexity", 0, 10)
    if judged is not None:
        pull = interpolate(rules["complexity"], judged)
        return {"of": "complexity", "code": _sign(pull), "value": judged, "pull": pull}
    counted = complexity_evidence(tasting)
    if counted["reading"] is None:
        return None
    pull = rules["counted"][counted["reading"]]
    code = f"counted_{counted['reading']}"
    return {"of": "complexity", "code": code, "value": counted["families"], "pull": pull}


def _balance(tasting: Mapping[str, object], rules: Mapping[str, Any]) -> Reason | None:
    judged = in_range(tasting.get("balance"), "balance", 0, 10)
    if judged is None:
        return None
    pull = interpolate(rules["balance"], judged)
    return {"of": "balance", "code": _sign(pull), "value": judged, "pull": pull}


def _stands_out(standout: list[object], rules: Mapping[str, Any]) -> Reason:
    count = len(standout)
    return {"of": "standout", "code": "stands_out", "value": count, "pull": rules["stands_out"]}


def _sign(pull: float) -> str:
    if pull >= 1:
        return "high"
    return "low" if pull <= -1 else "middle"
