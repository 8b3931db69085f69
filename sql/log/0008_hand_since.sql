-- A player may change the playing hand: from this day on it is the one noted, before it was the other. Empty: it always was.

alter table log.players add column hand_since date;
