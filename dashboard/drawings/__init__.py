"""Pictures from plain values: pure functions to SVG, the same for pages, the phone and paper.

A drawing takes typed values (`Ball`, `Met`, `Way`, `TrendPoint`), a width and a skin, and tells in words what it shows.
"""
