"""The error of a program that cannot start."""

from __future__ import annotations


class StartError(Exception):
    """The program cannot start; the message is one line that names the cure."""
