"""When the search has to stop."""

import time


class Deadline:
    """A moment some seconds from now, on the clock of the wall."""

    def __init__(self, seconds: float) -> None:
        self._at = time.monotonic() + seconds

    @property
    def left(self) -> float:
        """Seconds that are left; negative when it has passed."""
        return self._at - time.monotonic()

    @property
    def passed(self) -> bool:
        """Whether it is time to stop."""
        return self.left <= 0.0
