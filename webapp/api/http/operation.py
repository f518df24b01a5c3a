"""What the OpenAPI document says of a view, written beside the view."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from marshmallow import Schema

View = TypeVar("View", bound=Callable[..., Any])


@dataclass(frozen=True)
class Operation:
    """`answers` maps a status to a schema, to a media type, or to None (no body).

    `links` maps the endpoint of a view with an id to where in this answer that id stands.
    """

    summary: str
    answers: dict[int, type[Schema] | str | None]
    body: type[Schema] | tuple[str, ...] | None = None
    problems: tuple[int, ...] = ()
    parameters: dict[str, dict[str, Any]] = field(default_factory=dict)
    links: dict[str, str] = field(default_factory=dict)


OPERATION = "__operation__"


def operation(summary: str, **told: Any) -> Callable[[View], View]:
    """Attach an Operation to a view."""

    def attach(view: View) -> View:
        setattr(view, OPERATION, Operation(summary, **told))
        return view

    return attach
