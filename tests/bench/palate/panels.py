"""Panels: products with known profiles, and what each person answered to them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from webapp.palate import AttributeSpace


@dataclass(frozen=True)
class Panel:
    """Attribute space and product profiles, and each person's rows (product, liking, JAR)."""

    name: str
    space: AttributeSpace
    profile: np.ndarray
    style: list[str]
    people: dict[str, list[tuple[int, float, list[float]]]]
    marked: bool
