"""Records of the led tastings: tables, glasses, guests, people and sheets.

Likings, intensities and just-right ratings of a guest follow from the bottle and the guest's
palate; whoever names a duplicate names the pair of glasses that tasted most alike.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from tests.example_data import persona, source_tables
from tests.example_data.appearance import look
from tests.example_data.aromas import fruit_state, smells
from tests.example_data.guest_tasters import TASTERS, Taster
from tests.example_data.ids import Record, local, record, uuid7
from tests.example_data.tasting import guesses, mouth_fields, said_marks, whole, would_buy
from webapp.group_tasting.ids import sheet_id

Fields = dict[str, Any]

STEP_SETS = {
    "full": ["look", "first_nose", "second_nose", "sip_1", "sip_2", "sip_3", "whole", "verdict"],
    "short": ["first_nose", "sip_1", "sip_2", "verdict"],
    "liking": ["verdict"],
}
LEADER = "odile"
MEMORY_SD = 0.6
"""Error of an earlier glass as it is remembered, in points of a scale."""
ALIKE = 1.4
"""Largest mean difference of noted scales at which somebody names two glasses as the same wine."""


@dataclass(frozen=True, slots=True)
class Glass:
    """A glass of a table, and the bottle in it, as a row of the bottle table."""

    id: str
    mark: str
    bottle: dict[str, str]
    at: datetime


@dataclass(slots=True)
class LedTable:
    """A led tasting and its records."""

    plan: dict[str, str]
    id: str
    start: datetime
    glasses: list[Glass] = field(default_factory=list)
    guests: dict[str, str] = field(default_factory=dict)

    @property
    def steps(self) -> list[str]:
        return STEP_SETS[self.plan["steps"]]

    @property
    def glass_time(self) -> timedelta:
        return timedelta(minutes=int(self.plan["minutes"]))

    @property
    def talk_at(self) -> datetime:
        return self.start + len(self.glasses) * self.glass_time + timedelta(minutes=4)

    @property
    def ended_at(self) -> datetime:
        return self.talk_at + (len(self.glasses) + 3) * timedelta(minutes=2)


def table_records(bottle_ids: dict[str, str]) -> dict[str, list[Record]]:
    """Return the records of all led tastings by kind."""
    people = {one.key: _person_id(one) for one in TASTERS.values() if one.agreed_at}
    made: dict[str, list[Record]] = {
        "group_tasting": [],
        "glass": [],
        "guest": [],
        "person": [_person(TASTERS[key], id_) for key, id_ in people.items()],
        "sheet": [],
    }
    for plan in source_tables.table_plan():
        table = _table(plan)
        made["group_tasting"].append(_head(table))
        made["glass"] += [_glass(table, one, place, bottle_ids)
                          for place, one in enumerate(table.glasses, 1)]  # fmt: skip
        made["guest"] += _guests(table, people)
        made["sheet"] += _sheets(table)
    return made


def _person_id(taster: Taster) -> str:
    return uuid7(local(str(taster.agreed_at)), persona.stream("id person", taster.key))


def _person(taster: Taster, id_: str) -> Record:
    at = local(str(taster.agreed_at))
    return record("person", id_, {"name": taster.name, "agreed_at": at.isoformat()}, at)


def _table(plan: dict[str, str]) -> LedTable:
    start = local(f"{plan['on']} {plan['start']}")
    set_at = start - timedelta(minutes=50)
    table = LedTable(plan, uuid7(set_at, persona.stream("id table", plan["key"])), start)
    bottles = source_tables.bottle_plan()
    rows = [row for row in source_tables.glass_plan() if row["table"] == plan["key"]]
    for place, row in enumerate(rows):
        id_ = uuid7(set_at, persona.stream("id glass", plan["key"], place))
        at = start + place * table.glass_time
        table.glasses.append(Glass(id_, chr(ord("A") + place), bottles[row["bottle"]], at))
    for guest in [LEADER, *plan["guests"].split()]:
        id_ = uuid7(start, persona.stream("id guest", plan["key"], guest))
        table.guests[guest] = id_
    return table


def _head(table: LedTable) -> Record:
    plan = table.plan
    fields = {
        "name": plan["name"],
        "place": plan["place"],
        "on": plan["on"],
        "leader_name": plan["leader"],
        "labels_hidden": plan["hidden"] == "y",
        "order": "listed",
        "order_seed": 0,
        "steps": table.steps,
        "pace": plan["pace"],
        "names_shown": True,
        "ask_guesses": plan["hidden"] == "y",
        "keep_guests": True,
        "started_at": table.start.isoformat(),
        "ended_at": table.ended_at.isoformat(),
    }
    return record("group_tasting", table.id, fields, table.start)


def _glass(table: LedTable, glass: Glass, place: int, bottle_ids: dict[str, str]) -> Record:
    talk = table.talk_at + place * timedelta(minutes=2)
    closed_at = table.glass_time / len(table.steps)
    fields: Fields = {
        "group_tasting": table.id,
        "bottle": bottle_ids[glass.bottle["key"]],
        "position": place,
        "mark": glass.mark,
        "discussed_at": talk.isoformat(),
        "uncovered_at": (table.ended_at - timedelta(minutes=2)).isoformat(),
    }
    if table.plan["pace"] == "led":
        for turn, step in enumerate(table.steps, 1):
            fields[f"closed_{step}_at"] = (glass.at + turn * closed_at).isoformat()
    return record("glass", glass.id, fields, table.start)


def _guests(table: LedTable, people: dict[str, str]) -> list[Record]:
    made = []
    for number, (key, id_) in enumerate(table.guests.items(), 1):
        taster = TASTERS.get(key)
        fields = {
            "group_tasting": table.id,
            "name": taster.name if taster else table.plan["leader"],
            "number": number,
            "entry": taster.entry if taster else "leader",
            "person": people.get(key),
            "joined_at": (table.start - timedelta(minutes=9 - number)).isoformat(),
        }
        made.append(record("guest", id_, fields, table.start))
    return made


def _sheets(table: LedTable) -> list[Record]:
    made = []
    for guest, id_ in table.guests.items():
        answers = {glass.id: _answers(table, glass, guest) for glass in table.glasses}
        if table.plan["hidden"] == "y":
            _name_the_duplicate(table, guest, answers)
        for glass in table.glasses:
            fields = _asked(table, glass, guest, answers[glass.id])
            if not fields:
                continue
            at = glass.at + persona.stream("minute", table.id, guest, glass.mark).random() * (
                table.glass_time / 2
            )
            refs = {"group_tasting": table.id, "glass": glass.id, "guest": id_}
            at_text = at.replace(microsecond=0).isoformat()
            fields = {**refs, "tasted_at": at_text, **fields}
            made.append(record("sheet", sheet_id(id_, glass.id), fields, at))
    return made


def _answers(table: LedTable, glass: Glass, guest: str) -> Fields:
    """Return what a guest has to say of a glass, on all steps."""
    bottle, taster = glass.bottle, TASTERS.get(guest)
    occasion = f"{bottle['key']} {table.plan['key']} {glass.mark} {guest}"
    inside = persona.in_bottle(bottle["key"], bottle["style"], float(bottle["abv"]))
    year = glass.at.year
    if taster:
        mouth, liking_of = taster.in_the_mouth(inside), taster.true_liking
        liking = taster.answered_liking(mouth, occasion)
    else:
        mouth, liking_of = persona.in_the_mouth(inside), persona.own_liking
        liking = persona.answered_liking(mouth, bottle["style"], occasion)
    written = source_tables.sheet_plan().get((table.plan["key"], glass.mark, guest), {})
    result = said_marks(written.get("says", ""))
    minutes = int(table.plan["minutes"])
    fields = look(bottle, year, occasion) | smells(bottle, mouth, year, occasion)
    fields |= mouth_fields(mouth, occasion, liking, result, liking_of)
    fields |= whole(mouth, occasion, liking) | guesses(bottle, glass.at, occasion, minutes)
    fields["fruit_state"] = fruit_state(bottle, mouth, year)
    return fields | {
        "liking": liking,
        "would_buy": would_buy(liking, occasion),
        "words": written.get("words") or None,
    }


def _name_the_duplicate(table: LedTable, guest: str, answers: dict[str, Fields]) -> None:
    """Let a guest name the two glasses that tasted most alike, at the later one."""
    pairs = [(one, other) for at, other in enumerate(table.glasses) for one in table.glasses[:at]]
    apart = {
        (one.id, other.id): math.dist(*(
            [answers[glass.id][scale] for scale in persona.SCALES] for glass in (one, other)
        ))
        / math.sqrt(len(persona.SCALES))
        for one, other in pairs
    }  # fmt: skip
    # An earlier glass is remembered, not tasted again.
    apart = {
        pair: distance + abs(persona.stream("memory", guest, *pair).gauss(0, MEMORY_SD))
        for pair, distance in apart.items()
    }
    (first, second), least = min(apart.items(), key=lambda item: item[1])
    if least <= ALIKE or len(table.glasses) == 3:  # in a triangle everybody has to choose
        answers[second]["guess_same_as"] = first


def _asked(table: LedTable, glass: Glass, guest: str, answers: Fields) -> Fields:
    """Return the answers to what the table asks, without the steps that the guest passed over."""
    written = source_tables.sheet_plan().get((table.plan["key"], glass.mark, guest), {})
    skipped = set(written.get("skipped", "").split())
    if "all" in skipped:
        return {}
    return {
        name: answers[name]
        for name in _fields_of(table, skipped)
        if answers.get(name) is not None
    }  # fmt: skip


def _fields_of(table: LedTable, skipped: set[str]) -> Iterator[str]:
    for step in source_tables.spec("group_steps")["steps"]:
        if step["id"] not in table.steps or step["id"] in skipped:
            continue
        for name in step["fields"]:
            if table.plan["hidden"] == "y" or not name.startswith("guess_"):
                yield name
