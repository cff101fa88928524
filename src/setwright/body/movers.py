"""From joint actions to muscles: who moves the joint, and how much of the set counts for them.

Three rules carry this module. A: a muscle is worth the best of its actions (role times weight), never the
sum. B: a two-joint muscle that is stretched at one end while it shortens at the other counts for less.
C: gastrocnemius is slack when the knee is bent.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Protocol

from setwright.body.anatomy import joint_actions


class ActionLike(Protocol):
    """Anything with a joint-action slug (``knee-extension``) and a role (``prime``, ``secondary``, ``held``)."""

    @property
    def slug(self) -> str: ...

    @property
    def role(self) -> str: ...


ROLE_VALUE: Mapping[str, float] = MappingProxyType({"prime": 1.0, "secondary": 0.5, "held": 0.25})

# Rule B: muscle -> {the action it is credited for: the action that stretches it at its other joint}.
# Plantar flexion stands without a partner: in push-off and hops the knee comes straight as the calf shortens,
# and rule C already covers the bent knee.
STRETCHED_BY: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "rectus_femoris": {"knee-extension": "hip-extension", "hip-flexion": "knee-flexion"},
        "hamstrings": {"hip-extension": "knee-extension", "knee-flexion": "hip-flexion"},
        "gastrocnemius": {"knee-flexion": "ankle-dorsiflexion"},
    }
)
SLACK_KNEE_DEG = 60.0
SLACK_SHARE = 0.25
STRETCH_LOSS = 0.75


def muscle_values(actions: Sequence[ActionLike], knee_flexion_deg: float | None = None) -> dict[str, float]:
    """How much each muscle group works in an exercise, 0 to 1, from its joint actions.

    ``knee_flexion_deg`` is the angle in which the knee is kept while the ankle moves; None when the knee
    moves itself or is straight. Muscles without a share are left out.

    Source: rules A to C of the project's knowledge model; anchored on Kubo 2019 (EJAP 119:1933) for the squat
    and Kinoshita 2023 for the calf. The weights 1, 0.5 and 0.25 are the project's own.
    """
    known = joint_actions()
    roles: dict[str, float] = {}
    for action in actions:
        roles[action.slug] = max(roles.get(action.slug, 0.0), ROLE_VALUE[action.role])
    found: dict[str, float] = {}
    for slug, role in roles.items():
        for muscle, weight in known[slug].movers.items():
            value = role * weight
            stretcher = STRETCHED_BY.get(muscle, {}).get(slug)
            if stretcher in roles:
                value *= 1.0 - STRETCH_LOSS * min(1.0, roles[stretcher] / role)
            if _is_slack(muscle, slug, knee_flexion_deg):
                value *= SLACK_SHARE
            found[muscle] = max(found.get(muscle, 0.0), value)
    return found


def _is_slack(muscle: str, action: str, knee_flexion_deg: float | None) -> bool:
    return (
        muscle == "gastrocnemius"
        and action == "ankle-plantar-flexion"
        and knee_flexion_deg is not None
        and knee_flexion_deg >= SLACK_KNEE_DEG
    )
