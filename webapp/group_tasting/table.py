"""A led tasting as loaded from its records, and the facts derived from them; no SQL.

`Table` is plain data. A step of a glass is closed from the earliest of these moments on: some
seconds after the leader went on to the next one, so that guests can finish a word; the leader laid
the glass's answers open, showed its label (if labels are hidden), or ended the table. An answer
noted before that counts, even if it arrives later.

Where each guest has an order of their own and is led, a step is opened and closed by place: what
the records say of a glass of the first order holds, for each guest, for the glass at that place.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import Any

from webapp import spec
from webapp.group_tasting.closing import closing_ms, last_ms
from webapp.group_tasting.ids import sheet_id
from webapp.group_tasting.order import glass_order

Fields = dict[str, Any]

HOUR_MS = 3_600_000
# For so long after the end, guests may send what they noted before, and read their own notes.
TAKE_AWAY_MS = 24 * HOUR_MS


@cache
def kept_days() -> int:
    """Return for how many days after the end guests' answers stay."""
    return int(spec.load("group_steps")["kept_days"])


@cache
def step_fields() -> dict[str, tuple[str, ...]]:
    """Return the fields of a sheet that each step asks for, in the order of tasting."""
    return {one["id"]: tuple(one["fields"]) for one in spec.load("group_steps")["steps"]}


@cache
def step_of() -> dict[str, str]:
    """Return the step of each field: of those it asks for, and of the guest's "done"."""
    asked = {name: step for step, names in step_fields().items() for name in names}
    return asked | {done_field(step): step for step in step_fields()}


def done_field(step: str) -> str:
    """Return the field in which a guest says to be done with a step."""
    return f"done_{step}"


@dataclass(slots=True)
class Table:
    """The group tasting `head`, its glasses, guests, bottles and sheets by id, as far as loaded.

    `laid_open`: the answers of a glass as every guest receives them, once they were computed;
    `results`: the same for the results, alone in a list.
    """

    head: Fields
    glasses: dict[str, Fields]
    guests: dict[str, Fields] = field(default_factory=dict)
    bottles: dict[str, Fields] = field(default_factory=dict)
    sheets: dict[str, Fields] = field(default_factory=dict)
    laid_open: dict[str, list[Fields]] = field(default_factory=dict)
    results: list[Fields | None] = field(default_factory=list)

    @property
    def ended_ms(self) -> int | None:
        """Return when the leader ended the table, None while it is open."""
        ended_at = self.head.get("ended_at")
        return last_ms(ended_at) if ended_at else None

    @property
    def keeps_days(self) -> int | None:
        """Return for how many days after the end answers stay; None: until the leader deletes."""
        return None if self.head.get("keep_guests") is True else kept_days()

    @property
    def closes_ms(self) -> int | None:
        """Return when guests' tokens end, a day after the end; None while the table is open."""
        return None if self.ended_ms is None else self.ended_ms + TAKE_AWAY_MS

    @property
    def labels_hidden(self) -> bool:
        """Tell whether labels are hidden; they are unless the leader said otherwise."""
        return self.head.get("labels_hidden") is not False

    @property
    def guesses_asked(self) -> bool:
        """Tell whether guests guess what is in a glass, for which its label must be covered."""
        return self.labels_hidden and self.head.get("ask_guesses") is not False

    @property
    def names_shown(self) -> bool:
        """Tell whether answers are shown with names; only if the leader said so."""
        return self.head.get("names_shown") is True

    def steps(self) -> list[str]:
        """Return the asked steps in the order of tasting; all if the leader chose none."""
        asked = self.head.get("steps") or [*step_fields()]
        return [step for step in step_fields() if step in asked]

    def asked_fields(self) -> set[str]:
        """Return the fields that a guest may answer."""
        asked = {name for step in self.steps() for name in step_fields()[step]}
        if not self.guesses_asked:
            asked = {name for name in asked if not name.startswith("guess_")}
        return asked

    def done_fields(self) -> set[str]:
        """Return the fields in which a guest says to be done."""
        return {done_field(step) for step in self.steps()}

    @property
    def has_results(self) -> bool:
        """Tell whether the leader has opened the results, or ended the table."""
        return bool(self.head.get("results_at") or self.head.get("ended_at"))

    def result_glasses(self) -> list[str]:
        """Return the glasses of the results: those laid open.

        All of them if the leader opened the results and ended the table: as on the leader's page.
        """
        is_whole = bool(self.head.get("results_at") and self.head.get("ended_at"))
        listed = self.listed() if self.has_results else []
        return [one for one in listed if is_whole or self.glasses[one].get("discussed_at")]

    def is_uncovered(self, glass: Fields) -> bool:
        """Tell whether guests may see the bottle of a glass."""
        return not self.labels_hidden or bool(glass.get("uncovered_at"))

    @property
    def is_led_by_place(self) -> bool:
        """Tell whether guests are led, each in an order of their own."""
        return self.head.get("order") == "balanced" and self.head.get("pace") != "free"

    def own_glass(self, leading: str, number: int) -> str:
        """Return the glass that this guest has where the first order has the leading one."""
        return self._at_same_place(leading, 1, number)

    def _at_same_place(self, id_: str, of: int, to: int) -> str:
        if not self.is_led_by_place or id_ not in self.glasses:
            return id_
        return self.order_for(to)[self.order_for(of).index(id_)]

    def closings(self, id_: str, number: int) -> dict[str, int]:
        """Return when the steps of a glass closed for a guest, or close within the next seconds.

        Milliseconds since 1970; steps that are open are left out.
        """
        glass = self.glasses[id_]
        leading = self.glasses[self._at_same_place(id_, number, 1)]
        uncovered = glass.get("uncovered_at") if self.labels_hidden else None
        heard = [glass.get("discussed_at"), self.head.get("ended_at"), uncovered]
        found = {step: closing_ms(leading.get(f"closed_{step}_at"), heard) for step in self.steps()}
        return {step: ms for step, ms in found.items() if ms is not None}

    def listed(self) -> list[str]:
        """Return the ids of the glasses by position."""
        glasses = self.glasses
        return sorted(glasses, key=lambda id_: (glasses[id_].get("position") or 0, id_))

    def order_for(self, number: int) -> list[str]:
        """Return the ids of the glasses in the order of the guest with this number."""
        listed = self.listed()
        seed = self.head.get("order_seed") or 0
        places = glass_order(self.head.get("order"), seed, len(listed), max(1, number))
        return [listed[place] for place in places]

    def sheet_of(self, guest: str, glass: str) -> Fields:
        """Return the loaded sheet of a guest for a glass, empty if there is none."""
        return self.sheets.get(sheet_id(guest, glass), {})
