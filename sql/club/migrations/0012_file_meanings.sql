-- What a source of files means by columns and words that the log does not know, as a coordinator said it once.

create table file_meanings (
    meaning integer primary key,
    source text not null,     -- JSON: the letters of the file's name, and its columns
    of_column text,           -- the column of the log in which the word stands; null: the typed text is a column itself
    typed text not null,      -- as the files have it
    meant text not null,      -- the column, word or code that it is
    said_by integer references accounts on delete set null,
    said_at text not null     -- UTC
) strict;

create unique index file_meanings_said on file_meanings (source, coalesce(of_column, ''), typed);
