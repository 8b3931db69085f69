"""Charts of rows that SQL has gathered."""
