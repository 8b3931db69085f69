-- What became of the balls: one row per line of the log in force and outcome.
-- A counted line that names no errors gives its other balls the outcome `not_good`.
-- grain: club_id, session_id, player_id, block, feed, ball_or_0, outcome
-- columns:
--   club_id: short name of the club
--   session_id: day and label of the session
--   session_date: day of the session
--   week: Monday of its ISO week
--   player_id: the club's code for the player
--   block: drill block within the session, from 1
--   feed: place in a combination, from 1
--   ball: place of the ball in its block (empty for a counted line)
--   ball_or_0: the same, 0 for a counted line
--   setup_id: the club's code for the setup
--   depth: where the feeder stood: back, middle, near
--   side: on which side of the player it stood: forehand, centre, backhand
--   spin_family: backspin, no_spin, topspin
--   spin: the spin of the fed ball
--   sidespin: the way the ball curved for the player (empty: not noted)
--   length: short, half_long, long
--   placement: where the ball came, as the player sees it (empty: not noted)
--   height: low, medium, high (empty: not noted)
--   tempo_bpm: balls per minute (empty: not noted)
--   tempo_band: slow, medium, fast (empty: not noted)
--   stroke: the stroke asked for (empty: not noted)
--   outcome: good, net, long, wide, missed, not_good
--   balls: balls with that outcome
-- checks:
--   stop: balls > 0
with

outcomes as (
    select word as outcome
    from core.words
    where list = 'outcome'
    union all
    select 'not_good' as outcome
),

each_outcome as (
    select
        l.club_id,
        l.session_id,
        l.session_date,
        l.week,
        l.player_id,
        l.block,
        l.feed,
        l.ball_or_0,
        l.setup_id,
        l.depth,
        l.side,
        l.spin_family,
        l.spin,
        l.sidespin,
        l.length,
        l.placement,
        l.height,
        l.tempo_bpm,
        l.tempo_band,
        l.stroke,
        o.outcome,
        case o.outcome
            when 'good' then l.good
            when 'net' then l.net
            when 'long' then l.long
            when 'wide' then l.wide
            when 'missed' then l.missed
            else l.balls - l.good - coalesce(l.net + l.long + l.wide + l.missed, 0)
        end as balls
    from core.fed_lines as l
    cross join outcomes as o
)

select
    club_id,
    session_id,
    session_date,
    week,
    player_id,
    block,
    feed,
    nullif(ball_or_0, 0) as ball,
    ball_or_0,
    setup_id,
    depth,
    side,
    spin_family,
    spin,
    sidespin,
    length,
    placement,
    height,
    tempo_bpm,
    tempo_band,
    stroke,
    outcome,
    balls
from each_outcome
where balls > 0
