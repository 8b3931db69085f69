-- Which balls each player was fed, block by block: one row per feed of a block, to be fed again as it was.
-- grain: club_id, player_id, session_id, block, feed
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   block: drill block within the session, from 1
--   feed: feed within the block, from 1
--   session_date: day of the session
--   blocks_ago: 1 = the player's latest block, 2 = the one before
--   order_declared: the order of the balls as logged (empty: not noted)
--   setup_id: the club's code for the setup
--   {dimension}: {meaning} (empty: not noted)
--   tempo_bpm: balls a minute (empty: not noted)
--   stroke: the stroke asked for (empty: not noted)
-- checks:
--   stop: blocks_ago >= 1
with

feeds as (
    select
        club_id,
        player_id,
        session_id,
        block,
        feed,
        session_date,
        max(order_declared) as order_declared,
        max(setup_id) as setup_id,
        max({dimension}) as {dimension},
        max(tempo_bpm) as tempo_bpm,
        max(stroke) as stroke
    from core.fed_lines
    group by club_id, player_id, session_id, block, feed, session_date
)

select
    club_id,
    player_id,
    session_id,
    block,
    feed,
    session_date,
    dense_rank() over (
        partition by club_id, player_id order by session_date desc, session_id desc, block desc
    ) as blocks_ago,
    order_declared,
    setup_id,
    {dimension},
    tempo_bpm,
    stroke
from feeds
