"""What a question gives: frozen row types, each with the units of its columns. Words, tables and charts read these."""
