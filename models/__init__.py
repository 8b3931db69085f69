"""The trade, pure: words, records, geometry, flight, statistics. No database, file, screen or clock."""
