"""What one guest may see of a table; whatever is hidden is left out of the response.

Covered labels, answers of others that are not laid open, and names that are not shown never leave
the server. The phone could not hide them: a guest may read the responses.
"""

from __future__ import annotations

from typing import Any

from webapp.group_tasting.results import results
from webapp.group_tasting.table import Fields, Table
from webapp.records.canonical import canonical

LABEL_FIELDS = (
    *("name", "producer", "vintage", "non_vintage", "style", "grapes", "region", "country"),
    *("colour", "kind", "label_abv", "label_abv_low", "label_abv_high", "label_market"),
)


def invitation_view(table: Table, now_ms: int) -> dict[str, Any]:
    """Return what somebody sees who reads an invitation and has not given a name."""
    return {
        "group_tasting": table.head["id"],
        "name": table.head.get("name"),
        "leader_name": table.head.get("leader_name"),
        "glasses": len(table.glasses),
        "labels_hidden": table.labels_hidden,
        "names_shown": table.names_shown,
        "keeps_days": table.keeps_days,
        "now_ms": now_ms,
    }


def guest_view(table: Table, guest_id: str, now_ms: int) -> dict[str, Any]:
    """Return the view of a guest of the table."""
    guest = table.guests[guest_id]
    number = guest.get("number") or 1
    order = table.order_for(number)
    own = table.asked_fields() | table.done_fields()
    sheets = {glass: answers_of(table.sheet_of(guest_id, glass), own) for glass in order}
    found = {
        "now_ms": now_ms,
        "table": _head(table, number),
        "guest": guest_json(guest),
        "glasses": [_glass(table, one, number, place) for place, one in enumerate(order, 1)],
        "sheets": {glass: answers for glass, answers in sheets.items() if answers},
    }
    if not table.results:
        table.results.append(results(table))
    return found if table.results[0] is None else {**found, "results": table.results[0]}


def guest_json(guest: Fields) -> dict[str, Any]:
    """Return a guest as shown to the guest."""
    shown = ("id", "name", "number", "agreed_at")
    return {name: guest.get(name) for name in shown}


def _head(table: Table, number: int) -> dict[str, Any]:
    head = table.head
    steps = table.steps()
    guidance = {step: head.get(f"guidance_{step}") for step in steps}
    led = head.get("pace") != "free"
    open_glass = head.get("open_glass") if led else None
    return {
        "id": head["id"],
        "name": head.get("name"),
        "leader_name": head.get("leader_name"),
        "on": head.get("on"),
        "steps": steps,
        "pace": head.get("pace") or "led",
        "open_glass": table.own_glass(open_glass, number) if open_glass else None,
        "open_step": head.get("open_step") if led else None,
        "labels_hidden": table.labels_hidden,
        "names_shown": table.names_shown,
        "ask_guesses": table.guesses_asked,
        "guidance": {step: text for step, text in guidance.items() if text},
        "ended_at": head.get("ended_at"),
        "keeps_days": table.keeps_days,
    }


def _glass(table: Table, id_: str, number: int, position: int) -> dict[str, Any]:
    glass = table.glasses[id_]
    found = {
        "id": id_,
        "mark": glass.get("mark"),
        "position": position,
        "closed": table.closings(id_, number),
        "discussed": bool(glass.get("discussed_at")),
        "uncovered": bool(glass.get("uncovered_at")),
    }
    bottle = table.bottles.get(str(glass.get("bottle")))
    if table.is_uncovered(glass) and bottle is not None:
        found["bottle"] = {name: bottle.get(name) for name in LABEL_FIELDS}
        found["same_as"] = _duplicate(table, id_)
    if found["discussed"]:
        found["answers"] = _answers(table, id_)
    return found


def _duplicate(table: Table, id_: str) -> str | None:
    """Return another glass with the same bottle whose label may be seen too."""
    glasses, bottle = table.glasses, table.glasses[id_].get("bottle")
    same = (
        other for other in table.listed() if other != id_ and glasses[other].get("bottle") == bottle
    )
    return next((other for other in same if table.is_uncovered(glasses[other])), None)


def _answers(table: Table, glass: str) -> list[dict[str, Any]]:
    """Return everybody's answers for a glass that is laid open.

    Without names they come without numbers and in an order that says nothing of the guest, because
    the numbers are known at the table. A guest who was removed is left out.
    """
    if glass not in table.laid_open:
        table.laid_open[glass] = _all_answers(table, glass)
    return table.laid_open[glass]


def _all_answers(table: Table, glass: str) -> list[dict[str, Any]]:
    asked, found, guests = table.asked_fields(), list[dict[str, Any]](), table.guests
    for id_ in sorted(guests, key=lambda one: (guests[one].get("number") or 0, one)):
        fields = answers_of(table.sheet_of(id_, glass), asked)
        if fields and not guests[id_].get("removed_at"):
            guest = guests[id_] if table.names_shown else {}
            number, name = guest.get("number"), guest.get("name")
            found.append({"guest": number, "name": name, "fields": fields})
    return found if table.names_shown else sorted(found, key=lambda one: canonical(one["fields"]))


def answers_of(sheet: Fields, asked: set[str]) -> Fields:
    """Return the answers of a sheet to what was asked."""
    return {name: sheet[name] for name in sorted(asked & sheet.keys()) if sheet[name] is not None}
