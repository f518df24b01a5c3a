"""Smallest printed sizes that the law asks of a label, in millimetres; the generator prints these.

EU 1169/2011 art. 13(2) and (3): x-height of mandatory words at least 1.2 mm, 0.9 mm on small
packages (from memory). Alcohol of wine: digits of at least 5 mm above 100 cl, 3 mm above 20 cl,
2 mm otherwise (Reg (EC) 607/2009 art. 54, carried over by Reg (EU) 2019/33 art. 44; from memory).
Contents: digits of at least 4 mm above 20 cl, 6 mm above 100 cl (Directive 76/211/EEC, annex I;
from memory). US: at least 2 mm above 187 ml, else 1 mm, and the alcohol at most 3 mm up to 5 l
(27 CFR 24.257, text seen, which repeats 27 CFR 4.38).
"""

from __future__ import annotations

X_HEIGHT_MM = 1.2
US_MINIMUM_MM = 2.0
US_SMALL_MM = 1.0
US_LARGEST_ALCOHOL_MM = 3.0


def _digit_mm(market: str, volume_ml: int, eu_mm: tuple[float, float, float]) -> float:
    """Return the smallest height of digits; `eu_mm`: to 20 cl, to 100 cl and above, in the EU."""
    if market == "US":
        return US_MINIMUM_MM if volume_ml > 187 else US_SMALL_MM
    small, usual, large = eu_mm
    if volume_ml > 1000:
        return large
    return usual if volume_ml > 200 else small


def alcohol_digit_mm(market: str, volume_ml: int) -> float:
    """Return the smallest height of the digits of the alcohol statement."""
    return _digit_mm(market, volume_ml, (2.0, 3.0, 5.0))


def volume_digit_mm(market: str, volume_ml: int) -> float:
    """Return the smallest height of the digits of the contents."""
    return _digit_mm(market, volume_ml, (3.0, 4.0, 6.0))
