"""A wanted mix: its grid, and the lines that turn the target in force into it."""

import pytest

from models.mix import combinations, is_same, mix_of, target_lines

EVEN = [("depth", "back", 1 / 3), ("depth", "middle", 1 / 3), ("depth", "near", 1 / 3), ("side", "centre", 1.0)]


def test_a_mix_names_every_word_of_its_dimensions_in_percent():
    mix = mix_of(EVEN)

    assert mix["side"] == {"forehand": 0, "centre": 100, "backhand": 0}
    assert mix["depth"]["back"] == pytest.approx(100 / 3)
    assert combinations(mix) == 3


@pytest.mark.parametrize(
    ("mix", "cells"),
    [({}, 0), ({"depth": {"back": 0, "middle": 0, "near": 0}}, 0), ({"depth": {"back": 5}, "side": {"centre": 1}}, 1)],
)
def test_the_grid_of_a_mix_is_every_combination_of_what_has_a_share(mix, cells):
    assert combinations(mix) == cells


def test_shares_are_the_same_in_any_unit():
    assert is_same({"back": 1, "near": 1, "middle": 0}, {"back": 50.0, "near": 50.0})
    assert not is_same({"back": 1, "near": 1}, {"back": 2, "near": 1})
    assert not is_same({"back": 1}, {})


def test_only_what_changes_is_written_and_what_is_wanted_no_more_gets_no_share():
    in_force = {("autumn", dimension, value): share for dimension, value, share in EVEN}
    mix = mix_of(EVEN) | {"spin_family": {"backspin": 60.0, "no_spin": 0.0, "topspin": 40.0}}
    del mix["side"]

    lines = target_lines(mix, "Juniors", in_force)

    assert {line["target"] for line in lines} == {"autumn"}, "a receiver keeps the name of its target"
    assert {(line["dimension"], line["value"]): line["share"] for line in lines} == {
        ("side", "forehand"): 0,
        ("side", "centre"): 0,
        ("side", "backhand"): 0,
        ("spin_family", "backspin"): 60,
        ("spin_family", "no_spin"): 0,
        ("spin_family", "topspin"): 40,
    }
    assert target_lines(mix_of(EVEN), "Juniors", in_force) == []


def test_a_first_target_gets_a_name_of_its_own():
    assert {line["target"] for line in target_lines(mix_of(EVEN), "*", {})} == {"whole club"}
    assert {line["target"] for line in target_lines(mix_of(EVEN), "ADA", {})} == {"ADA"}
