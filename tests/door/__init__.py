"""The door: who comes in, who reads what, and what is noted of it."""
