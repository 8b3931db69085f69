"""My balls: the player's own page. A map that fills, one ball to ask for, how it goes; own data only."""

from datetime import date

import streamlit as st

from dashboard import questions
from dashboard.drawings.ball_drawing import ball_drawing, signs_of, two_lines
from dashboard.drawings.balls import PLAYER_WORDS, Ball
from dashboard.drawings.cells import legend
from dashboard.drawings.markup import Markup, element
from dashboard.paper.addresses import player_path
from dashboard.questions import Desk
from dashboard.rows.coach import BoardRow, GapRow
from dashboard.services import notes
from dashboard.views.drawn import hand_of, show
from dashboard.views.frame import cut_off_caption, page
from dashboard.views.on_paper import offer_paper
from dashboard.views.own_word import tell_own_share
from dashboard.views.page_choices import chosen_player, weeks_with_players, what_is_this
from dashboard.views.plan_kept import tell_kept
from dashboard.views.player_sections.my_drawings import my_map, my_trend
from dashboard.words import my_balls
from dashboard.words import plan as plan_words
from dashboard.words.my_sections import Passage, Section, my_sections
from dashboard.words.phrases import verbatim
from ingest.club_day import today
from models.permits import Role


def body(desk: Desk) -> None:
    """What I met, what to ask for, how it goes."""
    weeks = weeks_with_players(desk)
    if not weeks:
        return
    week = weeks[0]
    player = chosen_player(desk, "Whose training?")
    if player is None:
        st.markdown("Pick the player whose training you want to see.")
        return
    me = next(row for row in questions.board(desk, week) if row.player_id == player)
    name = None if desk.reader.role is Role.PLAYER else my_balls.first_name(me.name)
    gaps = questions.feed_next(desk, player, today(), 1)
    if old := plan_words.old_log(questions.last_day(desk), today()):
        st.caption(old)
    left, right = st.columns([9, 8], gap="small")
    with left:
        _new(desk, week, me, name)
        _map(desk, week, me, gaps)
    with right:
        _from_the_coach(desk, player)
        _next(me, gaps, name)
        if me.standing in ("judged", "no_target"):
            _how_it_goes(desk, week, player, name)
    tell_kept(desk, player, "Planned for the next session")
    _in_words(desk, week, me, name)
    tell_own_share(desk, week, player, name)
    cut_off_caption(desk)
    offer_paper("This as a page to print (PDF)", player_path(player))


def _new(desk: Desk, week: date, me: BoardRow, name: str | None) -> None:
    new = questions.new_balls(desk, week, me.player_id)
    text = element("span", my_balls.what_is_new(new, me, questions.settings(desk), name))
    count = element("b", str(me.cells_covered), element("small", f" of {me.cells}")) if me.cells else Markup("")
    show(element("div", count, text, class_="hl-banner"))


def _map(desk: Desk, week: date, me: BoardRow, gaps: tuple[GapRow, ...]) -> None:
    called = "you" if desk.reader.role is Role.PLAYER else my_balls.first_name(me.name)
    drawn = questions.kept(desk, my_map, week, me, tuple(Ball.of(gap.words) for gap in gaps), called)
    if not drawn:
        st.markdown("There is no target yet that says which balls are wanted, so there is no map to fill.")
        return
    with st.container(key="hl-card-map"):
        st.header("Balls met")
        st.caption(my_balls.each_field(questions.settings(desk)))
        show(drawn)
        show(legend(PLAYER_WORDS))


def _next(me: BoardRow, gaps: tuple[GapRow, ...], name: str | None) -> None:
    if not gaps:
        return
    gap = gaps[0]
    ball = Ball.of(gap.words)
    hand = hand_of(me)
    words = element(
        "div",
        element("span", "Ask for this next", class_="hl-next"),
        *(element("b", line) for line in two_lines(ball)[:1]),
        element("span", two_lines(ball)[1]),
        element("span", my_balls.how_full(gap, name), class_="hl-quiet"),
        signs_of(ball, hand=hand),
    )
    with st.container(key="hl-card-next"):
        show(element("div", ball_drawing(ball, 110, hand=hand, alternative=None), words, class_="hl-ball-row"))


def _how_it_goes(desk: Desk, week: date, player: str, name: str | None) -> None:
    settings, seen_from = questions.settings(desk), questions.last_day(desk)
    overall = questions.success(desk, week, player, "all")
    with st.container(key="hl-card-trend"):
        st.header("How it goes")
        st.markdown(my_balls.how_many_land(overall[0] if overall else None, settings, name))
        show(questions.kept(desk, my_trend, week, player))
        st.caption(my_balls.up_or_down(questions.trend(desk, player), seen_from, name))


def _from_the_coach(desk: Desk, player: str) -> None:
    note = notes.note_to(desk, player)
    if note:
        text = element("span", f"“{note.note}”")
        by = element("span", my_balls.note_signature(note, questions.last_day(desk)), class_="hl-quiet")
        st.html(element("div", text, by, class_="hl-note"))


def _in_words(desk: Desk, week: date, me: BoardRow, name: str | None) -> None:
    with st.expander(my_balls.FOR_THE_CURIOUS):
        if name is not None:
            st.caption(f"As {verbatim(name)} reads it.")
        for section in questions.kept(desk, my_sections, week, me, today()):
            _section(desk, section)


def _section(desk: Desk, section: Section) -> None:
    st.header(section.title)
    for passage in section.passages:
        _say(passage)
    if section.caveat:
        st.caption(section.caveat)
    what_is_this(desk, *section.figures)


def _say(passage: Passage) -> None:
    if passage.title:
        st.markdown(f"**{passage.title}**")
    if passage.are_points:
        st.markdown("\n".join(f"- {sentence}" for sentence in passage.sentences))
        return
    for sentence in passage.sentences:
        st.markdown(sentence)


page("My training", "What did I meet, what do I lack, and how does it go?", body)
