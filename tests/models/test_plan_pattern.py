"""A pattern of the club laid out for a player: as it was kept, from where this player meets it."""

from dataclasses import replace

from models import plan_edits as edits
from models.closing import drawn
from models.kept_plan import described, kept_blocks
from models.plan_pattern import laid_out
from models.planned import Stand
from models.stance import Place
from tests.models.test_plan_edits import GAPS
from tests.models.test_planning import SETTINGS, STANDS, gap, plan

BY_CODE = {stand.setup: stand for stand in STANDS}


def kept(made):
    return kept_blocks([described(block) for block in made.blocks], [])


def of_pattern(block):
    """What the coach chose is in a pattern because it is in the pattern."""
    kinds = [kind | {"why": "pattern" if kind["why"] == "chosen" else kind["why"]} for kind in block["kinds"]]
    return block | {"kinds": kinds}


def test_for_who_lacks_the_same_a_pattern_is_the_plan_that_it_was():
    made = plan(GAPS, STANDS, 60, SETTINGS)
    mixed = edits.reworded(made, 0, 0, {**GAPS[0].words, "height": "low", "tempo_band": "fast"}, SETTINGS)
    mixed = edits.combined(mixed, 3, GAPS[0], SETTINGS)
    stroked = [replace(drill, stroke="flick") for drill in mixed.blocks[3].drills]
    mixed = edits.with_drills(mixed, 3, stroked, SETTINGS)
    mixed = edits.with_closing(mixed, drawn(mixed.drills[:2], SETTINGS, seed=2), SETTINGS)

    found = laid_out(kept(mixed), GAPS, BY_CODE, SETTINGS)

    assert found.missing_setups == ()
    assert [described(block) for block in found.plan.blocks] == [of_pattern(described(block)) for block in mixed.blocks]
    assert found.plan.minutes == mixed.minutes


def test_for_who_lacks_other_balls_theirs_are_left_out_and_the_patterns_are_named_so():
    other = gap(1, depth="middle", spin_family="topspin")

    found = laid_out(kept(plan(GAPS[:1], STANDS, 60, SETTINGS)), [other], BY_CODE, SETTINGS)

    assert [drill.gap.why for drill in found.plan.drills] == ["pattern"]
    assert [one.gap for one in found.plan.left_out] == [other]


def test_a_left_hander_meets_a_place_from_the_other_side():
    sided = gap(1, depth="middle", side="forehand")
    left = {"MR": Stand("MR", "middle", "backhand", Place(60, 50))}

    found = laid_out(kept(plan([sided], STANDS, 60, SETTINGS)), [], left, SETTINGS)

    assert [drill.words["side"] for drill in found.plan.drills] == ["backhand"]


def test_a_block_whose_setup_is_gone_is_not_laid_out_and_said_so():
    found = laid_out(kept(plan(GAPS, STANDS, 60, SETTINGS)), GAPS, {"NC": BY_CODE["NC"]}, SETTINGS)

    assert found.missing_setups == ("BC", "MR")
    assert [block.stand.setup for block in found.plan.blocks] == ["NC"]
    assert [one.gap.rank for one in found.plan.left_out] == [1, 3, 4]
