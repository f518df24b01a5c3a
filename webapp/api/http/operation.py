"""A decorator that describes a view for the OpenAPI document."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from marshmallow import Schema

View = TypeVar("View", bound=Callable[..., Any])


@dataclass(frozen=True)
class Operation:
    """The description of a view.

    `answers` maps a status to a schema, a media type, or None (no body). `links` maps the endpoint
    of a view that takes an id to the place of that id in this response.
    """

    summary: str
    answers: dict[int, type[Schema] | str | None]
    body: type[Schema] | tuple[str, ...] | None = None
    problems: tuple[int, ...] = ()
    parameters: dict[str, dict[str, Any]] = field(default_factory=dict)
    links: dict[str, str] = field(default_factory=dict)


OPERATION = "__operation__"


def operation(summary: str, **details: Any) -> Callable[[View], View]:
    """Attach an Operation to a view."""

    def attach(view: View) -> View:
        setattr(view, OPERATION, Operation(summary, **details))
        return view

    return attach
