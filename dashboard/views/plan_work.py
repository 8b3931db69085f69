"""The plan on the workbench: as it was proposed, as the coach has changed it, which block is open, what is locked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.questions import Desk
from dashboard.rows.plans import Proposal
from dashboard.services import plans
from ingest import club_day
from models.locks import Decision, Locks
from models.planned import Plan, PlannedBlock
from models.settings import Settings
from models.worth import Cell

_WORK, _DECIDED = "plan-work", "plan-decided"


@dataclass(frozen=True)
class Work:
    """What lies on the workbench. `at`: the block that is open; `kind`: which of its balls."""

    key: tuple[object, ...]
    proposal: Proposal
    plan: Plan
    settings: Settings
    locks: Locks
    at: int = 0
    kind: int = 0
    drawn: int = 0

    @property
    def block(self) -> PlannedBlock:
        """The block that is open."""
        return self.plan.blocks[self.at]


def work_on(desk: Desk, player: str, minutes: float, on: date, *, closes: bool) -> Work:
    """The plan on the workbench; a new one where something else is asked for now. Raises NothingToPlan."""
    _keep_decisions(desk)
    key = (player, minutes, on, closes, questions.this_build(desk).number)
    locks = plans.locks_of(desk, player, on)
    work: Work | None = st.session_state.get(_WORK)
    if work is None or work.key != key:
        proposal = plans.proposed(desk, player, minutes, on, closes=closes)
        work = Work(key, proposal, proposal.plan, questions.settings(desk), locks)
    st.session_state[_WORK] = work = replace(work, locks=locks)
    return work


def change(edit: Callable[[Work], Plan], at: int | None = None) -> None:
    """Put the edited plan onto the workbench, another block open where one is named."""
    work: Work = st.session_state[_WORK]
    plan = edit(work)
    here = min(work.at if at is None else at, max(len(plan.blocks) - 1, 0))
    kinds = len(plan.blocks[here].drills) if plan.blocks else 1
    kind = min(work.kind, kinds - 1) if here == work.at else 0
    st.session_state[_WORK] = replace(work, plan=plan, at=here, kind=kind)


def open_block(at: int, kind: int = 0) -> None:
    """Open another block, or another of its balls."""
    work: Work = st.session_state[_WORK]
    st.session_state[_WORK] = replace(work, at=at, kind=kind)


def redraw(block: Callable[[Work, int], PlannedBlock | None], put: Callable[[Work, PlannedBlock | None], Plan]) -> None:
    """Draw the closing mix again, in another order."""
    work: Work = st.session_state[_WORK]
    again = replace(work, drawn=work.drawn + 1)
    st.session_state[_WORK] = replace(again, plan=put(again, block(again, again.drawn)))


def decide(ball: Cell, decided: Decision | None) -> None:
    """A ball must be in, or is not fed today, or nothing of both; kept once it is known who asks."""
    work: Work = st.session_state[_WORK]
    st.session_state.setdefault(_DECIDED, []).append((work.proposal.player_id, work.proposal.on, ball, decided))


def _keep_decisions(desk: Desk) -> None:
    for player, on, ball, decided in st.session_state.pop(_DECIDED, ()):
        plans.decide(desk, player, on, ball, decided, club_day.today())


def plan_anew() -> None:
    """Forget what was changed, and plan again with what is locked."""
    st.session_state.pop(_WORK, None)
