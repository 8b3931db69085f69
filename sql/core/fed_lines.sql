-- The log in force: one row per line, a counted feed or a single ball, with where it was fed from.
-- A counted line is set aside where the balls of the same block and feed were logged one by one.
-- grain: club_id, session_id, player_id, block, feed, ball_or_0
-- carried: by week
-- columns:
--   club_id: short name of the club
--   session_id: day and label of the session
--   session_date: day of the session
--   week: Monday of its ISO week
--   player_id: the club's code for the player
--   coach: who led the session, as whoever logged it noted (empty: not noted)
--   block: drill block within the session, from 1
--   feed: place in a combination, from 1
--   ball_or_0: place of the ball in its block, 0 for a counted line
--   order_declared: how the balls of the block followed each other, as declared (blocked, serial, random; empty: not noted)
--   handedness: the hand with which the player played on that day (right, left)
--   setup_id: the club's code for the setup
--   setup_valid_from: first day on which the setup stood as it did on that day
--   depth: where the feeder stood: back, middle, near
--   side: on which side of the player it stood: forehand, centre, backhand
--   spin_family: backspin, no_spin, topspin
--   {logged}: {meaning} (empty: not noted)
--   tempo_bpm: balls per minute (empty: not noted)
--   tempo_band: slow, medium, fast, by the limits in the settings (empty: not noted)
--   stroke: the stroke asked for (empty: not noted)
--   probe: the name of a fixed test set that the line belongs to (empty: none)
--   balls: balls fed
--   good: balls that landed where the drill asked
--   net: balls into the net (balls; empty: the line names no mistakes)
--   long: balls beyond the end line (balls; empty: the line names no mistakes)
--   wide: balls beyond a side line (balls; empty: the line names no mistakes)
--   missed: balls not touched (balls; empty: the line names no mistakes)
--   minutes: how long the block took (min; empty: not noted)
--   effort: how hard the session was, 0 to 10 (empty: not noted)
--   is_own: the player logged it of themselves, and no coach has accepted it yet
--   condition: everything in which the fed ball may differ from another, in words (setup, place, spin, ..., tempo band)
-- checks:
--   stop: good <= balls
--   stop: net is null or good + net + long + wide + missed = balls
--   stop: depth is not null
--   stop: (tempo_bpm is null) = (tempo_band is null)
with

unaccepted as (
    select
        b.club_id,
        b.batch,
        g.counts_own_balls
    from log.batches as b
    inner join core.settings as g on b.club_id = g.club_id
    where b.is_own and b.accepted_at is null
),

counted as (
    select
        l.club_id,
        l.session_date,
        l.session,
        l.player,
        l.coach,
        l.block,
        l.feed,
        0 as ball_or_0,
        l."order" as order_declared,
        l.setup,
        l.{logged},
        l.tempo_bpm,
        l.stroke,
        l.probe,
        l.balls,
        l.good,
        case when coalesce(l.net, l.long, l.wide, l.missed) is not null then coalesce(l.net, 0) end as net,
        case when coalesce(l.net, l.long, l.wide, l.missed) is not null then coalesce(l.long, 0) end as long,
        case when coalesce(l.net, l.long, l.wide, l.missed) is not null then coalesce(l.wide, 0) end as wide,
        case when coalesce(l.net, l.long, l.wide, l.missed) is not null then coalesce(l.missed, 0) end as missed,
        l.minutes,
        l.effort,
        u.batch is not null as is_own
    from log.sessions_in_force as l
    left join unaccepted as u on l.club_id = u.club_id and l.batch = u.batch
    where coalesce(u.counts_own_balls, true)
),

single as (
    select
        l.club_id,
        l.session_date,
        l.session,
        l.player,
        l.coach,
        l.block,
        l.feed,
        l.ball as ball_or_0,
        l."order" as order_declared,
        l.setup,
        l.{logged},
        l.tempo_bpm,
        l.stroke,
        l.probe,
        1 as balls,
        case when l.outcome = 'good' then 1 else 0 end as good,
        case when l.outcome = 'net' then 1 else 0 end as net,
        case when l.outcome = 'long' then 1 else 0 end as long,
        case when l.outcome = 'wide' then 1 else 0 end as wide,
        case when l.outcome = 'missed' then 1 else 0 end as missed,
        l.minutes,
        l.effort,
        u.batch is not null as is_own
    from log.balls_in_force as l
    left join unaccepted as u on l.club_id = u.club_id and l.batch = u.batch
    where coalesce(u.counts_own_balls, true)
),

every_line as (
    select * from single
    union all
    select c.*
    from counted as c
    where not exists (
        select 1
        from single as s
        where
            s.club_id = c.club_id
            and s.session_date = c.session_date
            and s.session = c.session
            and s.player = c.player
            and s.block = c.block
            and s.feed = c.feed
    )
),

-- Before the day from which a player plays with the noted hand it was the other.
played as (
    select
        l.*,
        case
            when l.session_date < p.hand_since and p.handedness = 'right' then 'left'
            when l.session_date < p.hand_since then 'right'
            else p.handedness
        end as handedness
    from every_line as l
    left join core.players as p on l.club_id = p.club_id and l.player = p.player_id
),

placed as (
    select
        l.club_id,
        concat(cast(l.session_date as varchar), '/', l.session) as session_id,
        l.session_date,
        cast(date_trunc('week', l.session_date) as date) as week,
        l.player as player_id,
        l.coach,
        l.block,
        l.feed,
        l.ball_or_0,
        l.order_declared,
        l.handedness,
        l.setup as setup_id,
        u.valid_from as setup_valid_from,
        u.depth,
        u.side,
        w.family as spin_family,
        l.{logged},
        l.tempo_bpm,
        case
            when l.tempo_bpm < g.slow_below_bpm then 'slow'
            when l.tempo_bpm < g.fast_from_bpm then 'medium'
            when l.tempo_bpm is not null then 'fast'
        end as tempo_band,
        l.stroke,
        l.probe,
        cast(l.balls as bigint) as balls,
        cast(l.good as bigint) as good,
        cast(l.net as bigint) as net,
        cast(l.long as bigint) as long,
        cast(l.wide as bigint) as wide,
        cast(l.missed as bigint) as missed,
        l.minutes,
        l.effort,
        l.is_own
    from played as l
    inner join core.settings as g on l.club_id = g.club_id
    left join core.setups as u
        on
            l.club_id = u.club_id
            and l.setup = u.setup_id
            and l.handedness = u.handedness
            and l.session_date >= u.valid_from
            and (u.valid_to is null or l.session_date < u.valid_to)
    left join core.words as w on w.list = 'spin' and l.spin = w.word
)

select
    club_id,
    session_id,
    session_date,
    week,
    player_id,
    coach,
    block,
    feed,
    ball_or_0,
    order_declared,
    handedness,
    setup_id,
    setup_valid_from,
    depth,
    side,
    spin_family,
    {logged},
    tempo_bpm,
    tempo_band,
    stroke,
    probe,
    balls,
    good,
    net,
    long,
    wide,
    missed,
    minutes,
    effort,
    is_own,
    concat_ws(
        ' | ',
        setup_id,
        depth,
        side,
        coalesce({logged}, '-'),
        coalesce(tempo_band, '-')
    ) as condition
from placed
