"""The judged tables: a module for each, found by its name."""
