"""Files written from a finished build. Nothing here computes anything about roofs."""
