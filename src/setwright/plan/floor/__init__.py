"""A group on one floor: who does which set where, from when to when.

Two ideas carry this package. One: a *visit* is one entry, or one superset, done at its stations from its first set to
its last; a timetable says when each visit starts, and every set inside follows from that by the time model. Two:
equipment is *things*, counted; a visit holds what it needs, and nothing in here knows an exercise by its name.
"""
