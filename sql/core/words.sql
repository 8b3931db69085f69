-- The words that a log may use: one row per list and word.
-- grain: list, word
-- columns:
--   list: the column whose words these are
--   word: the word as it stands in a log
--   rank: its place in the list, from 1
--   words_in_list: how many words the list has
--   is_ordered: neighbours in the list are the most alike
--   family: the family it belongs to (empty: none)
--   meaning: what it means
select
    list,
    word,
    rank,
    words_in_list,
    is_ordered,
    family,
    meaning
from log.words
