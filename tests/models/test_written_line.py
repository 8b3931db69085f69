"""Blocks typed back from paper: what a line says, what cannot be read, and how long it takes to type one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.words import ALL_WORD_LISTS, SPIN, STROKE
from models.written_line import COUNTED, RINGED, NotReadable, keys_of, read_line

SETUPS = ("BC", "MR", "NC", "NC2")


@pytest.mark.parametrize(
    ("typed", "ball", "counts"),
    [
        (
            "BC b s m 30 21 5 2 1 1",
            {"setup": "BC", "spin": "backspin", "length": "short", "placement": "middle"},
            {"balls": "30", "good": "21", "net": "5", "long": "2", "wide": "1", "missed": "1"},
        ),
        ("bc topspin long 30 21", {"setup": "BC", "spin": "topspin", "length": "long"}, {"balls": "30", "good": "21"}),
        ("nc ns hl", {"setup": "NC", "spin": "no_spin", "length": "half_long"}, {}),
        ("BC l b", {"setup": "BC", "length": "long", "placement": "backhand"}, {}),  # Nothing was ringed for the spin.
        ("30 21", {}, {"balls": "30", "good": "21"}),
        ("30 21 9", {}, {"balls": "30", "good": "21", "net": "9", "long": "0", "wide": "0", "missed": "0"}),
        (
            "M ht l wb h l loo r t65 m4.5 e7",
            {
                "setup": "MR", "spin": "heavy_topspin", "length": "long", "placement": "wide_backhand",
                "height": "high", "sidespin": "left", "stroke": "loop", "order": "random",
                "tempo_bpm": "65", "minutes": "4.5", "effort": "7",
            },
            {},
        ),
        ("BC t l push 30 21", {"setup": "BC", "spin": "topspin", "length": "long", "stroke": "push"},
         {"balls": "30", "good": "21"}),
    ],
)  # fmt: skip
def test_a_line_is_read_in_the_order_of_the_sheet(typed, ball, counts):
    read = read_line(typed, SETUPS)

    assert (read.ball, read.counts) == (ball, counts)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("XX b s 30 21", "Saw 'XX' first, expected the setup: one of BC, MR, NC, NC2"),
        ("N b s 30 21", "one of NC, NC2"),
        ("BC q s 30 21", "Saw 'q', expected one of: spin hb, b, lb, ns, lt, t, ht"),
        ("BC b s 30", "Saw 1 count, expected balls good net long wide missed"),
        ("BC b s 1 2 3 4 5 6 7", "Saw 7 counts"),
    ],
)
def test_what_cannot_be_read_for_sure_is_refused_with_what_could_stand_there(typed, told):
    with pytest.raises(NotReadable, match=told):
        read_line(typed, SETUPS)


@pytest.mark.parametrize("words", ALL_WORD_LISTS, ids=lambda words: words.name)
def test_every_word_has_a_key_of_its_own(words):
    keys = keys_of(words)

    assert tuple(keys) == words.names
    assert len(set(keys.values())) == len(keys)


def test_the_keys_of_the_sheet_are_short():
    assert list(keys_of(SPIN).values()) == ["hb", "b", "lb", "ns", "lt", "t", "ht"]
    assert keys_of(STROKE)["drop_shot"] == "ds"
    assert max(len(key) for words in RINGED for key in keys_of(words).values()) <= 3


@given(data=st.data())
def test_whatever_was_ringed_and_counted_is_read_back(data):
    ringed = {words: data.draw(st.sampled_from(words.names)) for words in RINGED}
    counts = data.draw(st.lists(st.integers(0, 999), min_size=6, max_size=6))
    whole = data.draw(st.booleans())
    typed = [word if whole else keys_of(words)[word] for words, word in ringed.items()]

    read = read_line(" ".join(["MR", *typed, *map(str, counts)]), SETUPS)

    assert read.ball == {"setup": "MR"} | {words.name: word for words, word in ringed.items()}
    assert read.counts == dict(zip(COUNTED, map(str, counts), strict=True))


K_S, M_S = 0.28, 1.35
"""Seconds of an average typist for a key, and to make up one's mind (Card, Moran & Newell 1980, Communications of the
ACM 23(7), the keystroke-level model; the values from memory)."""


def test_a_block_is_typed_in_under_twenty_seconds():
    """Keys counted with their spaces and the Enter; a thought for the ball, one for each count, one to check it."""
    typed = "BC b s m 30 21 5 2 1 1"

    keys, thoughts = len(typed) + 1, 1 + 6 + 1

    assert keys == 23
    assert keys * K_S + thoughts * M_S < 20
