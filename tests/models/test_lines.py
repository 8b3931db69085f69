"""A line through sessions with its three doubts: against statsmodels, and on sessions whose form is planted."""

from dataclasses import replace

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import special, stats

from models.belief import Belief
from models.lines import CARRY_OVERS, DAY_SPREADS, Form, SessionBalls, club_form, fit_line

EASE = np.array([0.5, 0.0, -0.8])
ALIKE = Form(0.0, 0.0, 50)


def some_sessions(seed=1, sessions=30, rise=0.0, doubt=None, spread=0.0, carry_over=0.0):
    """Two kinds of ball, twenty each, in every session; the form of days is a first-order autoregression."""
    draw = np.random.default_rng(seed)
    session, time = np.repeat(np.arange(sessions), 2), np.linspace(-1, 1, sessions)
    kind = np.concatenate([draw.permutation(3)[:2] for _ in range(sessions)])
    form = draw.normal(0, spread, sessions)
    for at in range(1, sessions):
        form[at] = carry_over * form[at - 1] + np.sqrt(1 - carry_over**2) * form[at]
    good = draw.binomial(20, special.expit(0.6 + rise * time[session] / 2 + form[session] + EASE[kind]))
    belief = Belief(np.arange(3), EASE, np.zeros((3, 3)) if doubt is None else doubt)
    return SessionBalls(session, time, kind, good.astype(float), np.full(len(kind), 20.0), belief)


def test_without_form_and_doubt_the_line_is_the_librarys_logistic_regression():
    own = some_sessions(rise=1.0)
    library = sm.GLM(
        own.good / own.balls,
        sm.add_constant(own.time[own.session]),
        sm.families.Binomial(),
        var_weights=own.balls,
        offset=EASE[own.kind],
    ).fit()

    line = fit_line(own, ALIKE, 0.0)

    assert line.slope == pytest.approx(library.params[1], abs=1e-6)
    assert line.variance == pytest.approx(library.bse[1] ** 2, rel=1e-4)
    assert line.variance_if_known == pytest.approx(line.variance)
    assert line.level == pytest.approx(library.params[0] + np.mean(EASE[own.kind]), abs=1e-6)


def test_form_and_doubt_enter_as_the_librarys_generalised_least_squares_has_them():
    """Working log-odds at the answer, with the whole covariance of the sessions."""
    doubt = np.array([[0.3, 0.1, 0.0], [0.1, 0.2, 0.0], [0.0, 0.0, 0.4]])
    own, form = some_sessions(rise=0.5, doubt=doubt, spread=0.4), Form(0.16, 0.5, 50)

    line = fit_line(own, form, 0.0)

    level = line.level - np.mean(EASE[own.kind])
    rate = special.expit(level + line.slope * own.time[own.session] + EASE[own.kind])
    chance = own.balls * rate * (1 - rate)
    share = np.zeros((30, 3))
    np.add.at(share, (own.session, own.kind), chance)
    weight = share.sum(axis=1)
    odds = level + line.slope * own.time + np.bincount(own.session, own.good - own.balls * rate) / weight
    share /= weight[:, None]
    apart = np.abs(np.subtract.outer(np.arange(30), np.arange(30)))
    covariance = np.diag(1 / weight) + 0.16 * 0.5**apart + share @ doubt @ share.T
    library = sm.GLS(odds, sm.add_constant(own.time), sigma=covariance).fit(use_t=False)

    assert line.slope == pytest.approx(library.params[1], abs=1e-4)
    assert line.variance == pytest.approx(library.normalized_cov_params[1, 1], rel=1e-3)
    assert line.variance_if_known < line.variance


def test_what_all_balls_have_in_common_is_no_doubt_about_progress():
    sure, common = (fit_line(some_sessions(doubt=doubt), ALIKE, 0.0) for doubt in (None, np.full((3, 3), 4.0)))

    assert (common.slope, common.variance) == pytest.approx((sure.slope, sure.variance), rel=1e-6)


def test_kinds_fed_early_and_late_leave_the_slope_open_by_as_much_as_their_ease_is_unknown():
    """A hard kind in the first half, an easy one in the second: nobody can tell that from progress."""
    own = some_sessions(doubt=np.eye(3))
    own = replace(own, kind=np.where(own.session < 15, 2, 0))

    line = fit_line(own, ALIKE, 0.0)

    assert 1 - line.variance_if_known / line.variance > 0.5


@pytest.mark.parametrize(("spread", "carry_over"), [(0.0, 0.0), (0.5, 0.0), (0.5, 0.6)])
def test_the_form_of_days_is_told_by_the_club(spread, carry_over):
    """Twenty players of sixty sessions; a form that is not carried over is not told to be."""
    club = [(some_sessions(seed, 60, spread=spread, carry_over=carry_over), 0.5) for seed in range(20)]

    form = club_form(club)

    assert np.sqrt(form.variance) == pytest.approx(spread, abs=0.11)
    assert form.carry_over == pytest.approx(carry_over, abs=0.21 if carry_over else 0)
    assert form.freedom == 20 * 58


def test_a_player_who_never_misses_has_a_line():
    own = some_sessions()

    line = fit_line(replace(own, good=own.balls), Form(0.1, 0.0, 50), 4.0)

    assert np.isfinite([line.level, line.slope, line.variance]).all()
    assert line.slope == pytest.approx(0, abs=0.2)


@pytest.mark.parametrize("level", [40.0, -800.0])
def test_a_beginning_far_off_leaves_numbers_to_weigh_by(level):
    line = fit_line(some_sessions(), Form(0.05, 0.0, 100), level)

    assert np.isfinite([line.level, line.slope, line.variance, line.variance_if_known]).all()


def test_the_level_is_that_on_the_usual_ball_by_how_often_each_was_fed():
    own = some_sessions()
    balls = np.where(own.kind == 0, 40.0, 20.0)
    own = replace(own, balls=balls, good=np.where(own.kind == 0, 2 * own.good, own.good))
    easier = replace(own, belief=Belief(np.arange(3), EASE + np.array([0.7, 0.0, 0.0]), np.zeros((3, 3))))

    for one in (own, easier):
        offset = one.belief.ease[one.kind]
        line = sm.add_constant(one.time[one.session])
        fit = sm.GLM(one.good / balls, line, sm.families.Binomial(), var_weights=balls, offset=offset).fit()
        usual = fit.params[0] + np.average(offset, weights=balls)

        assert fit_line(one, ALIKE, 0.0).level == pytest.approx(usual, abs=1e-6)


def working_sessions(own, level, doubt):
    """Log-odds of the sessions at the line of a usual form, their covariance but for the form, the line's columns."""
    line = fit_line(own, Form(0.05, 0.0, 0), level)
    usual = line.level - np.average(EASE[own.kind], weights=own.balls) + line.slope * own.time
    rate = special.expit(usual[own.session] + EASE[own.kind])
    chance = own.balls * rate * (1 - rate)
    share = np.zeros((len(own.time), 3))
    np.add.at(share, (own.session, own.kind), chance)
    weight = share.sum(axis=1)
    odds = usual + np.bincount(own.session, own.good - own.balls * rate) / weight
    share /= weight[:, None]
    return odds, np.diag(1 / weight) + share @ doubt @ share.T, sm.add_constant(own.time)


@pytest.mark.parametrize("seed", range(4))
def test_the_form_of_days_is_the_likeliest_by_the_whole_matrix(seed):
    """Restricted likelihood of Patterson & Thompson, every spread on the grid and every carrying over tried."""
    doubt = 0.1 * np.eye(3) + 0.05
    rough = [
        (some_sessions(10 * seed + one, 20 + 8 * one, doubt=doubt, spread=0.3 + 0.1 * one, carry_over=0.15 * seed), 0.5)
        for one in range(4)
    ]

    sessions = [working_sessions(own, 0.5, doubt) for own, _ in rough]

    def likelihood(spread, carry_over):
        total = 0.0
        for odds, known, line in sessions:
            apart = np.abs(np.subtract.outer(np.arange(len(odds)), np.arange(len(odds))))
            whole = known + spread**2 * carry_over**apart
            inverse = np.linalg.inv(whole)
            left = odds - line @ np.linalg.solve(line.T @ inverse @ line, line.T @ inverse @ odds)
            sizes = np.linalg.slogdet(whole)[1] + np.linalg.slogdet(line.T @ inverse @ line)[1]
            total -= (sizes + left @ inverse @ left) / 2
        return total

    form = club_form(rough)

    alone = max((likelihood(spread, 0.0), spread) for spread in DAY_SPREADS)
    carried = max((likelihood(spread, carry), spread, carry) for carry in CARRY_OVERS for spread in DAY_SPREADS[1:])
    spread, carry = carried[1:] if carried[0] - alone[0] > stats.chi2.ppf(0.9, 1) / 2 else (alone[1], 0.0)
    assert (form.variance, form.carry_over) == (pytest.approx(spread**2), carry)
