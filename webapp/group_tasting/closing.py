"""When a step of a glass closes for guests; a port of `static/domain/table/closing.js`."""

from __future__ import annotations

from datetime import datetime
from functools import cache

from webapp import spec


@cache
def grace_ms() -> int:
    """Return for how many milliseconds guests may finish a step after the leader went on."""
    return int(spec.load("group_steps")["grace_s"]) * 1000


def last_ms(moment: str) -> int:
    """Return the last millisecond of a moment, which phones write to the second."""
    return int(datetime.fromisoformat(moment).timestamp() * 1000) + (0 if "." in moment else 999)


def closing_ms(went_on: str | None, heard: list[str | None]) -> int | None:
    """Return when a step closes, in milliseconds since 1970; None while it is open.

    `went_on`: when the leader went on to the next step; guests may finish this one for some
    seconds. `heard`: the moments after which guests may know more (answers or a label shown, the
    end of the table), which end that.
    """
    moments = [last_ms(one) for one in heard if one]
    if went_on:
        moments.append(last_ms(went_on) + grace_ms())
    return min(moments, default=None)
