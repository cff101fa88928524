"""Every model with the dials it is meant to be used with; one row a variant."""

from __future__ import annotations

Dials = dict[str, float | str]
BAND: Dials = {"band_test_kg": 15.0, "band_rest_cm": 90.0, "band_test_cm": 160.0}

VARIANTS: list[tuple[str, Dials]] = [
    ("nordic", {}),
    ("nordic", {"incline_deg": 20.0}),
    ("nordic", {"hip_flexion_deg": 40.0, "arms": "overhead"}),
    ("nordic", {"load_kg": 10.0}),
    ("nordic", BAND),
    ("nordic", {"from_deg": 40.0, "to_deg": 39.0}),
    ("kneeling lean back", {}),
    ("kneeling lean back", BAND),
    ("push-up", {}),
    ("push-up", {"hand_height_cm": 60.0}),
    ("push-up", {"hand_height_cm": 110.0, "support": "toes"}),
    ("push-up", {"foot_height_cm": 60.0}),
    ("push-up", {"support": "knees"}),
    ("push-up", {"load_kg": 20.0}),
    ("push-up", {**BAND, "support": "toes"}),
]
