-- In what order the balls came: one row per session and player with balls logged one by one.
-- Reported, never scored: the evidence that mixed practice helps is weak outside the laboratory and in young people.
-- A change is counted within a block only.
-- grain: club_id, session_id, player_id
-- carried: by session
-- columns:
--   club_id: short name of the club
--   session_id: day and label of the session
--   player_id: the club's code for the player
--   balls: balls logged one by one
--   conditions: different conditions among them
--   switch_rate: how often the ball differs from the one before (share of 1; empty: one ball to a block)
--   relative_switch_rate: the same against a full shuffle of the same balls (ratio; 1 = as mixed as a shuffle; empty: one condition)
--   conditional_entropy: how hard the next ball is to guess from the one before (bits; empty: too few balls to tell)
--   order_seen: blocked, serial or random, by what was seen (empty: too few balls or one condition)
-- checks:
--   stop: switch_rate is null or (switch_rate >= 0 and switch_rate <= 1)
with

block_counts as (
    select
        club_id,
        session_id,
        player_id,
        block,
        condition,
        sum(balls) as balls
    from core.block_steps
    group by club_id, session_id, player_id, block, condition
),

blocks as (
    select
        club_id,
        session_id,
        player_id,
        block,
        sum(balls) as balls,
        -- Expected switches when the block's balls are shuffled: (N - 1) x (1 - sum n (n - 1) / (N (N - 1))).
        sum(balls) - 1 - sum(balls * (balls - 1)) / nullif(sum(balls), 0) as expected_switches
    from block_counts
    group by club_id, session_id, player_id, block
),

expected as (
    select
        club_id,
        session_id,
        player_id,
        sum(balls) as balls,
        sum(cast(round(1e12 * expected_switches) as bigint)) / 1e12 as expected_switches
    from blocks
    group by club_id, session_id, player_id
),

transitions as (
    select
        club_id,
        session_id,
        player_id,
        condition_before,
        condition,
        sum(balls) as steps
    from core.block_steps
    where condition_before <> '-'
    group by club_id, session_id, player_id, condition_before, condition
),

guesses as (
    select
        club_id,
        session_id,
        player_id,
        condition_before,
        condition,
        steps,
        steps / nullif(sum(steps) over (partition by club_id, session_id, player_id, condition_before), 0) as chance
    from transitions
),

order_seen as (
    select
        club_id,
        session_id,
        player_id,
        sum(steps) as steps,
        sum(case when condition <> condition_before then steps else 0 end) as switches,
        (0e0 - sum(cast(round(1e12 * (steps * ln(chance))) as bigint)) / 1e12) / ln(2e0) / nullif(sum(steps), 0) as conditional_entropy
    from guesses
    group by club_id, session_id, player_id
),

condition_shares as (
    select
        club_id,
        session_id,
        player_id,
        condition,
        sum(balls) / nullif(sum(sum(balls)) over (partition by club_id, session_id, player_id), 0) as share
    from block_counts
    group by club_id, session_id, player_id, condition
),

mix as (
    select
        club_id,
        session_id,
        player_id,
        count(*) as conditions,
        (0e0 - sum(cast(round(1e12 * (share * ln(share))) as bigint)) / 1e12) / ln(2e0) as entropy
    from condition_shares
    group by club_id, session_id, player_id
)

select
    e.club_id,
    e.session_id,
    e.player_id,
    cast(e.balls as bigint) as balls,
    m.conditions,
    o.switches / nullif(o.steps, 0) as switch_rate,
    o.switches / nullif(e.expected_switches, 0e0) as relative_switch_rate,
    case
        when e.balls >= g.entropy_balls * m.conditions * m.conditions then o.conditional_entropy
    end as conditional_entropy,
    case
        when m.conditions < 2 or e.balls < g.order_balls or o.steps is null then null
        when coalesce(o.switches / nullif(e.expected_switches, 0e0), 0e0) < g.blocked_below then 'blocked'
        when e.balls < g.order_balls_per_kind * m.conditions then null
        when o.conditional_entropy / nullif(m.entropy, 0e0) < g.serial_below then 'serial'
        else 'random'
    end as order_seen
from expected as e
inner join core.settings as g on e.club_id = g.club_id
inner join mix as m on e.club_id = m.club_id and e.session_id = m.session_id and e.player_id = m.player_id
left join order_seen as o on e.club_id = o.club_id and e.session_id = o.session_id and e.player_id = o.player_id
