"""The page beside the table: balls counted by taps on a phone, and what becomes of them."""
