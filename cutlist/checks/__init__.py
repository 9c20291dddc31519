"""Rules that a finished roof is held to, one function a rule, each with its source."""
