"""Board plans: sticks with angled ends cut from boards of several lengths and prices.

`solve` makes a plan of a `Problem`; `verify` judges any plan from the problem alone.
"""

from cutlist.nest.ends import EndFace
from cutlist.nest.plan import Certificate, CutBoard, Piece, Plan, Proof
from cutlist.nest.problem import Board, Problem, Saw, Stick, Way
from cutlist.nest.solve import solve
from cutlist.nest.verify import verify

__all__ = [
    "Board",
    "Certificate",
    "CutBoard",
    "EndFace",
    "Piece",
    "Plan",
    "Problem",
    "Proof",
    "Saw",
    "Stick",
    "Way",
    "solve",
    "verify",
]
