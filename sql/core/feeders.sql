-- The machines that feed, as last loaded: one row per feeder.
-- grain: club_id, feeder_id
-- columns:
--   club_id: short name of the club
--   feeder_id: the club's code for the feeder
--   name: what the club calls it
--   make: maker and model (empty: not noted)
--   speed_dial_lowest: the lowest mark of the speed dial (mark)
--   speed_dial_highest: the highest mark of the speed dial (mark)
--   spin_dial_lowest: the lowest mark of the spin dial (mark; empty: it has none)
--   spin_dial_highest: the highest mark of the spin dial (mark; empty: it has none)
--   note: anything worth remembering (empty: nothing)
-- checks:
--   stop: speed_dial_lowest < speed_dial_highest
select
    club_id,
    feeder as feeder_id,
    coalesce(name, feeder) as name,
    make,
    speed_dial_lowest,
    speed_dial_highest,
    spin_dial_lowest,
    spin_dial_highest,
    note
from log.feeders_in_force
