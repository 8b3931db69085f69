-- Settings changed on the screen: when, from what to what, so that a change can be taken back. By whom tells the trail.

create table settings_changes (
    change integer primary key autoincrement,
    changed_at text not null,
    before text not null,   -- JSON: each setting as the file had it; null: it did not name it
    after text not null,    -- JSON: each setting as the file has it since
    taken_back_at text
) strict;
