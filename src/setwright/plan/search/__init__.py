"""The search for a block: a problem of plain numbers, its solver with proof, and the count of points.

Everything a coach would recognise is turned into numbers before (``plan.posing``) and back after; nothing in here
knows an exercise by name.
"""
