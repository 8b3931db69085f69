"""A new club has not one ball: every judgement then has nothing to say, and says it."""

import numpy as np

from models.mistakes import outcome_shares, standing_out
from models.shrinkage import shrink
from models.standardise import SharedLuck, standard_rates
from models.trend import trends

NONE = np.array([], dtype=float)


def test_no_balls_have_no_pulled_rates():
    assert shrink(NONE, NONE, NONE).rate.tolist() == []


def test_no_sessions_have_no_trends():
    assert trends(NONE, NONE, NONE, NONE).verdict == []


def test_no_blocks_have_no_standardised_rates():
    assert standard_rates(NONE, NONE, NONE, NONE, NONE, SharedLuck(NONE, NONE, 0.05, 0.02)).rate.tolist() == []


def test_no_spins_have_no_mistakes():
    assert outcome_shares(np.zeros((0, 5)), NONE).share.shape == (0, 5)
    assert standing_out(NONE, np.zeros((0, 5)), NONE).shape == (0, 5)
