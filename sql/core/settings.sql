-- The club's settings in force at this build: thresholds without a published basis.
-- grain: club_id
-- columns:
--   club_id: short name of the club
--   judged_weeks: weeks, up to the last in the log, over which trends and changes are judged
--   window_days: days that count as recent, ending with the Sunday of a week
--   covered_balls: balls in the window that make a combination covered
--   rate_balls: fewest balls for which a success rate is shown
--   variety_short_share: covering less of the target grid than this is short of variety (share)
--   likeness_decay: how fast two balls become different as their words move apart
--   slow_below_bpm: tempo below this is slow (balls/min)
--   fast_from_bpm: tempo from this on is fast (balls/min)
--   back_below_cm: a feeder with x below this stands back (cm)
--   near_from_cm: a feeder with x from this on stands near the net (cm)
--   centre_within_cm: a feeder at most this far from the centre line stands in the centre (cm)
--   spread_balls: fewest balls per wanted combination for which the spread over the grid is told
--   order_balls: fewest balls, logged one by one, for which an order is named
--   order_balls_per_kind: fewest balls of each kind, on average, to tell serial from random
--   blocked_below: fewer changes than this share of a shuffle's are called blocked (share)
--   serial_below: a next ball more predictable than this is called serial (share)
--   entropy_balls: balls per pair of conditions below which predictability is not told
--   counts_own_balls: balls that players logged of themselves count before a coach has accepted them
-- checks:
--   stop: slow_below_bpm <= fast_from_bpm
--   stop: back_below_cm <= near_from_cm
select
    club_id,
    cast(judged_weeks as integer) as judged_weeks,
    cast(window_days as integer) as window_days,
    covered_balls,
    rate_balls,
    cast(variety_short_share as double) as variety_short_share,
    cast(likeness_decay as double) as likeness_decay,
    cast(slow_below_bpm as double) as slow_below_bpm,
    cast(fast_from_bpm as double) as fast_from_bpm,
    cast(back_below_cm as double) as back_below_cm,
    cast(near_from_cm as double) as near_from_cm,
    cast(centre_within_cm as double) as centre_within_cm,
    spread_balls,
    order_balls,
    order_balls_per_kind,
    cast(blocked_below as double) as blocked_below,
    cast(serial_below as double) as serial_below,
    entropy_balls,
    counts_own_balls
from log.settings
