"""A club's log in force as Parquet, without a person's name: what a federation builds from, and how it is written."""
