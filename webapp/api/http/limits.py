"""Limits of bodies that the server also applies on the wire, see `webapp.server.limits`."""

from __future__ import annotations

# An invitation with a name of 60 characters.
MAX_JOIN_BYTES = 2_000
# All answers for a glass, with every list of own words filled; a phone sends a few fields a time.
MAX_ANSWERS_BYTES = 100_000
