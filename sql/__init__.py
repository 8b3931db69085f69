"""The warehouse: the one door to DuckDB, and the SQL models that make the published tables."""
