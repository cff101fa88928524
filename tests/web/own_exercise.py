"""An invented exercise of a coach's own, as its file. No braces: forms of the table of addresses are filled in."""

from __future__ import annotations

OWN = """
name = "sandbag over the shoulder"
also_called = ["bag to shoulder"]
pattern = "hinge"

[actions]
prime = ["hip-extension", "knee-extension"]
secondary = ["elbow-flexion"]
held = ["trunk-extension"]

[form]
mode = "dynamic"
laterality = "alternating"
body_position = "stand"
support = "two-feet"
skill = 2

[load]
means = "total"
capacity = 3
measured_in = "reps"
equipment = []

[use]
parts = ["main", "assistance", "finisher"]

[talk]
purpose = "Trains the hips to lift what is soft and heavy."
cues = ["Hug the bag before it leaves the floor."]
effort_cue = "Two left means two more without a round back."
sources = ["the practice's own experience"]
"""
