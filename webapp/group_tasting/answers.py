"""Decides which of a guest's answers are taken; no SQL."""

from __future__ import annotations

from dataclasses import dataclass, field

from webapp.group_tasting.ids import guest_device
from webapp.group_tasting.table import TAKE_AWAY_MS, Fields, Table, step_of
from webapp.records.record import Record
from webapp.records.validate import FieldError, validate, validators_for


@dataclass(slots=True)
class Judged:
    """Answers that are taken, with their clocks, and the reasons why the others are not."""

    fields: Fields = field(default_factory=dict)
    clocks: dict[str, str] = field(default_factory=dict)
    closed: dict[str, int] = field(default_factory=dict)
    errors: dict[str, list[FieldError]] = field(default_factory=dict)


def judge(
    table: Table, guest: str, glass: str, given: Fields, noted_ms: dict[str, int], now_ms: int
) -> Judged:
    """Check a guest's answers for a glass; each is valid by itself.

    An answer counts as noted when the guest's corrected clock says, but not later than now. It is
    refused if its step was closed by then, or if it was noted more than a day ago.
    """
    number = table.guests.get(guest, {}).get("number") or 1
    asked = table.asked_fields() | table.done_fields()
    closings = table.closings(glass, number)
    judged = Judged(errors=validate(validators_for("sheet"), given))
    for name, value in given.items():
        if name not in asked:
            judged.errors[name] = [{"code": "not_asked"}]
        if name in judged.errors:
            continue
        noted = min(noted_ms.get(name, now_ms), now_ms)
        closing = closings.get(step_of()[name])
        if noted < now_ms - TAKE_AWAY_MS:
            judged.errors[name] = [{"code": "too_late"}]
        elif closing is not None and noted > closing:
            judged.closed[name] = closing
        else:
            judged.fields[name] = value
            judged.clocks[name] = clock_at(guest, noted)
    return judged


def clock_at(guest: str, at_ms: int) -> str:
    """Return the clock of what a guest noted at this time; sent again, it is the same."""
    return f"{at_ms:013d}-0000-{guest_device(guest)}"


def sheet_record(id_: str, table: Table, guest: str, glass: str, judged: Judged) -> Record:
    """Return a new sheet with the answers."""
    first = min(judged.clocks.values())
    refs = {"group_tasting": table.head["id"], "glass": glass, "guest": guest}
    return Record(
        kind="sheet",
        id=id_,
        fields={**refs, **judged.fields},
        clocks={**dict.fromkeys(refs, first), **judged.clocks},
        deleted=False,
        deleted_clock=None,
    )
