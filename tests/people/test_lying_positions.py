"""Lying on the back or the front is a held position that a restriction can bar (ACOG 804 through rule S05: no long
spells on the back in pregnancy; who may not lie on the front: common practice, no published source)."""

from __future__ import annotations

import pytest

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.people.restriction_text import parse_restriction
from setwright.plan.gates import judge, open_positions

BACK = ("no lying on the back", "no supine work", "she must not lie flat on her back")
FRONT = ("no lying face down", "no lying on the stomach", "prone position not allowed")


@pytest.mark.parametrize(("texts", "body"), [(BACK, "supine"), (FRONT, "prone")], ids=["back", "front"])
def test_words_close_exactly_what_is_done_lying_so(texts: tuple[str, ...], body: str) -> None:
    tokens = expand_tokens(["gym"])
    for text in texts:
        rule = parse_restriction(text, "test")
        assert body not in open_positions((rule,))
        for one in catalogue().exercises.values():
            open_before = judge(one, (), tokens, ignore_equipment=True).allowed
            verdict = judge(one, (rule,), tokens, ignore_equipment=True)
            assert verdict.allowed is (open_before and one.body_position != body), (text, one.slug)


def test_a_sore_back_is_no_bar_to_lying_down() -> None:
    rule = parse_restriction("back is sore", "test")
    assert judge(catalogue().get("bench_bb"), (rule,), expand_tokens(["gym"]), ignore_equipment=True).allowed
