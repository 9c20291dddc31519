"""The errors that a user can cause. Each carries a message to be printed as it stands."""

from collections.abc import Sequence


class CutlistError(Exception):
    """Base of all errors that are the input's doing, not the program's."""


class JobError(CutlistError):
    """A job cannot be read or built; `problems` holds one message for each mistake found."""

    def __init__(self, problems: Sequence[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = tuple(problems)


class GeometryError(CutlistError, ValueError):
    """A stick cannot be cut as asked (nothing left of it, or it falls in two)."""


class NoPlanError(CutlistError):
    """No board plan exists for the sticks and boards given."""


class PlanCheckError(CutlistError):
    """A board plan did not pass its independent check: a fault of the program, told plainly."""


class OutputError(CutlistError, OSError):
    """The results cannot be written where they were asked for."""
