"""Setwright: plans, doses, publishes and reviews strength training, and explains every choice.

The package is a house of rooms; each room may use those above it in this list, never those below:
body, catalogue, people, strength, dose, plan, review, publish, records, services, faces (cli).
Rooms down to ``publish`` are pure: no clock, file system (beyond packaged data), network or global state.
"""

__version__ = "0.1.0"
