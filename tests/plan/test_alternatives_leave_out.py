"""What a brief excludes stands in for nothing, and the reason is said where it is asked for."""

from __future__ import annotations

from pathlib import Path

import pytest
from made_block import GYM, PERSON

from setwright.catalogue.equipment import expand_tokens
from setwright.catalogue.load import catalogue
from setwright.plan.alternatives import EXCLUDED, alternatives_for_entry, stand_ins
from setwright.services import deeds

TOKENS = expand_tokens(GYM.tokens())


@pytest.mark.parametrize("slug", ["bench_bb", "back_squat", "lat_pulldown", "pullup"])
def test_what_the_brief_excludes_is_never_offered(slug: str) -> None:
    """Leaving out the best stand-ins one after the other, until nothing is left: none of them comes back."""
    left_out: list[str] = []
    for _ in range(4):
        found = stand_ins(slug, catalogue(), TOKENS, (), PERSON, n=8, include_excluded=True, left_out=left_out)
        barred = {one.slug for one in catalogue().values() if {one.slug, one.base} & set(left_out)}
        offered = {one.exercise for one in found.rows if not one.excluded}
        offered |= {one.exercise for way in found.ways for one in way.open_ones}
        entry = alternatives_for_entry(catalogue().get(slug), catalogue(), TOKENS, (), PERSON, left_out)
        said = {one.exercise for one in found.rows if one.excluded and EXCLUDED in one.why}

        assert not (offered | {one.exercise for one in entry}) & (barred - {slug})
        assert set(left_out) <= said
        left_out.append(next(one.exercise for one in found.rows if not one.excluded and not one.is_itself))


def test_a_brief_file_is_honoured(tmp_path: Path) -> None:
    brief = Path(str(deeds.__file__)).parent / "demo_data" / "briefs" / "tarek.toml"
    best = deeds.stand_ins("bench_bb").rows[0].exercise
    (tmp_path / "brief.toml").write_text(f'exclude = ["{best}"]\n' + brief.read_text(encoding="utf-8"))
    found = deeds.stand_ins("bench_bb", brief_file=tmp_path / "brief.toml", with_excluded=True)

    assert best not in [one.exercise for one in found.rows if not one.excluded]
    assert next(one for one in found.rows if one.exercise == best).why == EXCLUDED
