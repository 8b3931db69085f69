"""The door: who may come in, who may read what, and what was done by whom."""
