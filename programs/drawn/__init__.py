"""The plan drawn: a ramp for each kind over its weeks, a week as a timetable, and their tables."""
