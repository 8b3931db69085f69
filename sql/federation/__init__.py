"""The models of many clubs at once: the same SQL and the same judgements, over a lake, on an engine of choice."""
