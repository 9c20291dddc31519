"""Every tolerance of the project, named by what it is for.

All are plain numbers in the job's unit. The same value serves inches and millimetres because
each is far below what a saw can do in either, and far above what double arithmetic loses on a
roof a kilometre long.
"""

SAME_POINT = 1e-7
"""Two points closer than this are one vertex of an outline."""

ON_PLANE = 1e-6
"""A vertex closer to a plane than this was cut by it."""

SAME_SHAPE = 1e-4
"""Parts whose vertices all agree within this share a mark; a hair is twenty times as thick."""

PARALLEL = 1e-9
"""Sine of the angle below which two directions are one (unit vectors)."""

SLIVER = 1e-5
"""Wood that two bodies share is none where a slice this thin over a section would hold it, and a
contact no wider than this along a stick's thickness is only an edge."""

SAME_ON_TAPE = 0.5
"""Share of the step to which lengths are printed; two no further apart may read the same."""
