"""Taps in the club file: each counts once, undone ones do not, and nothing is taken from whom it is not."""

from itertools import permutations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sql.club.blocks import (
    MOST_SHOWN_OF_ONE,
    blocks_shown_to,
    blocks_to_hand_over,
    finish,
    hits_of,
    prune,
    settle,
)
from sql.club.file import ClubConnection
from sql.club.taps import IS_FULL, IS_SETTLED, NO_SUCH_FEED, NOT_ALLOWED, NOT_YOURS, UNKNOWN_BLOCK, Scorer, store
from tests.at_table.blocks import LONG_TOPSPIN, SHORT_BACKSPIN, PhoneBlock, block_of
from tests.proofs import examples


def outcomes(file: ClubConnection, phone: PhoneBlock) -> list[str]:
    return [hit.outcome for hit in hits_of(file, phone.block)]


def state(file: ClubConnection, phone: PhoneBlock) -> str:
    block = block_of(file, phone.block)
    assert block
    return block.state


def test_balls_are_kept_in_the_order_in_which_they_were_tapped(file: ClubConnection, coach: Scorer) -> None:
    phone = PhoneBlock()
    events = [phone.begin(), *phone.balls("good", "net", "long", "wide", "missed")]

    stored = store(file, coach, events)

    assert stored.saved == [event["id"] for event in events]
    assert stored.held == []
    assert outcomes(file, phone) == ["good", "net", "long", "wide", "missed"]


def test_a_message_that_comes_again_is_acknowledged_again_and_counts_once(file: ClubConnection, coach: Scorer) -> None:
    phone = PhoneBlock()
    events = [phone.begin(), *phone.balls("good", "net"), phone.done()]

    first, again = store(file, coach, events), store(file, coach, events)

    assert first == again
    assert outcomes(file, phone) == ["good", "net"]


def test_the_place_of_a_ball_is_the_phones_whatever_came_first(file: ClubConnection, coach: Scorer) -> None:
    for order in permutations(range(3)):
        phone = PhoneBlock()
        begin, balls = phone.begin(), phone.balls("good", "net", "wide")
        for event in [begin, *(balls[i] for i in order)]:
            store(file, coach, [event])

        assert outcomes(file, phone) == ["good", "net", "wide"]


def test_an_undone_ball_does_not_count_and_the_rest_keep_their_order(file: ClubConnection, coach: Scorer) -> None:
    phone = PhoneBlock()
    first, second = phone.ball("good"), phone.ball("net")
    events = [phone.begin(), first, second, phone.undo(second), phone.ball("wide")]

    store(file, coach, events)
    store(file, coach, events)

    assert outcomes(file, phone) == ["good", "wide"]


def test_a_block_waits_until_all_its_taps_are_here(file: ClubConnection, coach: Scorer) -> None:
    phone = PhoneBlock()
    begin, balls, done = phone.begin(), phone.balls("good", "net", "good"), phone.done()

    store(file, coach, [begin, balls[0], balls[2], done])
    before = [block.block for block in blocks_to_hand_over(file)]
    store(file, coach, [balls[1]])

    assert before == []
    assert [block.block for block in blocks_to_hand_over(file)] == [phone.block]


def test_a_dropped_block_is_kept_and_not_handed_over(file: ClubConnection, coach: Scorer) -> None:
    phone = PhoneBlock()

    store(file, coach, [phone.begin(), *phone.balls("good"), phone.done(is_dropped=True)])

    assert state(file, phone) == "dropped"
    assert blocks_to_hand_over(file) == []
    assert outcomes(file, phone) == ["good"]


@pytest.mark.parametrize("kind", ["ball", "undo", "done"])
def test_what_belongs_to_no_known_block_is_held_so_that_the_phone_sends_the_block_anew(
    file: ClubConnection, coach: Scorer, kind: str
) -> None:
    phone = PhoneBlock()
    ball = phone.ball()
    event = {"ball": ball, "undo": phone.undo(ball), "done": phone.done()}[kind]

    (held,) = store(file, coach, [event]).held

    assert (held.id, held.why, held.is_block_unknown) == (event["id"], UNKNOWN_BLOCK, True)


def test_a_coach_may_not_log_for_a_player_of_another_group(file: ClubConnection, coach: Scorer) -> None:
    phone = PhoneBlock(player="CLEO")

    stored = store(file, coach, [phone.begin()])

    assert [held.why for held in stored.held] == [NOT_ALLOWED]
    assert block_of(file, phone.block) is None


def test_a_coach_who_no_longer_trains_a_player_cannot_count_on(
    file: ClubConnection, coach: Scorer, other_coach: Scorer
) -> None:
    phone = PhoneBlock(player="CLEO")
    begun = phone.begin()
    store(file, other_coach, [begun])
    lost_the_group = Scorer(other_coach.account, coach.may_log, is_coordinator=False)

    assert [held.why for held in store(file, lost_the_group, [phone.ball()]).held] == [NOT_ALLOWED]


def test_nobody_counts_on_in_a_block_of_somebody_else(
    file: ClubConnection, coach: Scorer, other_coach: Scorer, coordinator: Scorer
) -> None:
    phone = PhoneBlock()
    store(file, coach, [phone.begin()])

    for stranger in (other_coach, coordinator):
        stored = store(file, stranger, [phone.ball("net"), phone.done()])
        assert [held.why for held in stored.held] == [NOT_YOURS, NOT_YOURS]
    assert not finish(file, other_coach, phone.block)
    assert (state(file, phone), outcomes(file, phone)) == ("counting", [])


def test_a_coordinator_finishes_a_block_whose_phone_is_lost_and_its_late_taps_count_all_the_same(
    file: ClubConnection, coach: Scorer, coordinator: Scorer
) -> None:
    phone = PhoneBlock()
    store(file, coach, [phone.begin(), phone.ball("good")])
    late = phone.ball("net")
    assert finish(file, coordinator, phone.block)
    file.execute("update table_blocks set state = 'in_log', batch = 7")

    store(file, coach, [late, phone.done(minutes=4)])

    assert state(file, phone) == "done"
    assert outcomes(file, phone) == ["good", "net"]
    (block,) = blocks_to_hand_over(file)
    assert (block.batch, block.values["minutes"]) == (7, 4)


@pytest.mark.parametrize(
    ("broken", "told"),
    [
        ({"outcome": "god"}, "outcome: saw 'god', expected one of good, net, long, wide, missed"),
        ({"place": 0}, "place: saw '0'"),
        ({"place": "1"}, "place: saw '1'"),
        ({"feed": 21}, "feed: saw '21'"),
        ({"feed": 2}, NO_SUCH_FEED),
        ({"id": "x"}, "id: saw 'x'"),
        ({"id": None}, "id: saw 'None'"),
        ({"kind": "smash"}, "smash"),
        ({"player": "BEN"}, "player"),
    ],
)
def test_a_broken_tap_is_held_with_its_reason_and_the_sound_ones_beside_it_are_kept(
    file: ClubConnection, coach: Scorer, broken: dict[str, object], told: str
) -> None:
    phone = PhoneBlock()
    sound = [phone.begin(), phone.ball("good")]

    stored = store(file, coach, [*sound, phone.ball("net") | broken, phone.ball("wide")])

    (held,) = stored.held
    assert told in held.why
    assert outcomes(file, phone) == ["good", "wide"]


@pytest.mark.parametrize(
    ("feed", "told"),
    [
        (SHORT_BACKSPIN | {"spin": "topsin"}, "spin: saw 'topsin'"),
        (SHORT_BACKSPIN | {"tempo_bpm": 2000}, "tempo_bpm: saw '2000"),
        (SHORT_BACKSPIN | {"setup": ""}, "setup"),
        (SHORT_BACKSPIN | {"balls": 3}, "balls"),
        ({"spin": "backspin", "length": "short"}, "setup: nothing there, expected a value"),
    ],
)
def test_a_block_that_the_ball_log_would_not_take_is_held_when_it_begins(
    file: ClubConnection, coach: Scorer, feed: dict[str, object], told: str
) -> None:
    phone = PhoneBlock()

    (held,) = store(file, coach, [phone.begin(LONG_TOPSPIN, feed)]).held

    assert "feed 2" in held.why
    assert told in held.why
    assert block_of(file, phone.block) is None


def test_each_sees_their_own_blocks_and_the_coordinator_what_is_stuck(
    file: ClubConnection, coach: Scorer, other_coach: Scorer, coordinator: Scorer
) -> None:
    stuck, in_log = PhoneBlock(), PhoneBlock()
    store(file, coach, [stuck.begin(), in_log.begin()])
    file.execute("update table_blocks set state = 'in_log' where block = ?", [in_log.block])

    def seen_by(scorer: Scorer) -> set[str]:
        return {block.block for block in blocks_shown_to(file, scorer)}

    assert seen_by(coach) == {stuck.block, in_log.block}
    assert seen_by(other_coach) == set()
    assert seen_by(coordinator) == {stuck.block}


@given(st.data())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=examples(20, 60))
def test_what_a_block_has_is_counted_as_it_grows_whatever_comes_first(
    file: ClubConnection, coach: Scorer, data: st.DataObject
) -> None:
    """Beside the count kept with the block, the balls themselves are looked through."""
    phone = PhoneBlock()
    store(file, coach, [phone.begin()])
    balls = phone.balls(*data.draw(st.lists(st.sampled_from(["good", "net"]), min_size=1, max_size=8)))
    undone = data.draw(st.lists(st.sampled_from(balls), max_size=5))
    events = [*balls, *(phone.undo(ball) for ball in undone)]
    for event in data.draw(st.permutations([*events, *events[:3]])):
        store(file, coach, [event])

    block = block_of(file, phone.block)
    assert block
    assert block.balls == len(outcomes(file, phone))
    assert block.good == outcomes(file, phone).count("good")


def test_a_block_has_so_many_taps_and_no_more(file: ClubConnection, coach: Scorer) -> None:
    phone = PhoneBlock()
    balls = phone.balls(*["good"] * 4)

    assert [held.why for held in store(file, coach, [phone.begin(), *balls], most_taps=3).held] == [IS_FULL]
    again = store(file, coach, balls[:3], most_taps=3)
    assert again.saved == [ball["id"] for ball in balls[:3]]  # Here already: the phone may forget them.


def test_of_a_block_that_is_in_the_log_for_long_the_taps_go_and_late_ones_are_held(
    file: ClubConnection, coach: Scorer
) -> None:
    phone, open_still = PhoneBlock(), PhoneBlock()
    balls = phone.balls("good", "net")
    store(file, coach, [phone.begin(), *balls, phone.done(), open_still.begin(), *open_still.balls("good")])
    block = block_of(file, phone.block)
    assert block
    settle(file, block, "in_log", 7, None)
    prune(file, "2999-01-01")

    assert outcomes(file, phone) == []
    assert outcomes(file, open_still) == ["good"]
    (late,) = phone.balls("good")
    assert [held.why for held in store(file, coach, [late]).held] == [IS_SETTLED]
    assert state(file, phone) == "in_log"


def test_the_open_blocks_of_one_hide_nobody_elses(
    file: ClubConnection, coach: Scorer, other_coach: Scorer, coordinator: Scorer
) -> None:
    waiting = PhoneBlock()
    store(file, other_coach, [waiting.begin()])
    for _ in range(55):
        store(file, coach, [PhoneBlock().begin()])

    shown = blocks_shown_to(file, coordinator)

    assert waiting.block in {block.block for block in shown}
    assert len(shown) == 1 + MOST_SHOWN_OF_ONE
