"""The club file, a store like the warehouse: who may come in, what was done, plans, taps before they are logged."""
