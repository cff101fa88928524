"""Factors between the units of the trade and SI, in one place.

1 lb = 0.45359237 kg and 1 yard = 0.9144 m exactly: international agreement of 1959, as NIST Special Publication 811,
appendix B, gives it (from memory).
"""

from __future__ import annotations

LB_KG = 0.45359237
YARD_M = 0.9144
FOOT_M = 0.3048
