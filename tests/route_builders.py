"""Functions that build addresses, kept for all apps that the tests make.

Werkzeug compiles two of them for each route of an app, which takes four fifths of the time of
`create_app()`. Routes that read the same have the same functions.
"""

from __future__ import annotations

from collections.abc import Callable

from werkzeug.routing import Rule

Builder = Callable[..., tuple[str, str]]

_compile = Rule._compile_builder
_made: dict[tuple[object, ...], Builder] = {}


def _made_once(rule: Rule, append_unknown: bool = True) -> Builder:
    # Defaults are compiled into the function, and not part of the key.
    if rule.defaults:
        return _compile(rule, append_unknown)
    key = (rule.rule, tuple(rule._trace), append_unknown)
    if key not in _made:
        _made[key] = _compile(rule, append_unknown)
    return _made[key]


def compile_routes_once() -> None:
    """Let all apps of this process, and of those forked from it, share the functions."""
    Rule._compile_builder = _made_once
