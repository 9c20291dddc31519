"""Which ridges the surface of several roofs has, what each is called, and where they cross."""

from __future__ import annotations

from dataclasses import replace

from cutlist.errors import JobError
from cutlist.job import Job
from cutlist.roof.mitred import is_ridge
from cutlist.roof.placed import place
from cutlist.roof.ridge_line import RidgeLine
from cutlist.roof.surface import Edge, Surface
from cutlist.tolerance import SAME_SHAPE


def ridges_of(job: Job, surface: Surface) -> list[RidgeLine]:
    """Return the ridges, the first roof's first, each named by the wing whose two slopes meet."""
    size = job.ridge.size if job.ridge else None
    merged = {seen.face.name: {f.name for f in seen.merged} for seen in surface.visible}
    found: list[RidgeLine] = []
    order = {
        wing.name: (i, {face.name for face in wing.faces}) for i, wing in enumerate(surface.wings)
    }
    named: list[tuple[int, str, Edge]] = []
    for edge in surface.edges:
        if is_ridge(surface, edge):
            if size is None:
                raise JobError([_no_ridge(job, edge)])
            rank, wing = min(
                (i, name)
                for name, (i, own) in order.items()
                if all(merged[face.name] & own for face in edge.faces)
            )
            named.append((rank, f"{wing} ridge".strip(), edge))
    for _, name, edge in sorted(named, key=lambda item: item[0]):
        assert size is not None, "a ridge without a size is refused"
        # Counted from the left, or from the near end of one that runs across.
        start, end = sorted((edge.start, edge.end), key=lambda p: (round(p.x, 3), round(p.y, 3)))
        again = sum(ridge.name.startswith(name) for ridge in found)
        found.append(
            RidgeLine(
                name=f"{name} {again + 1}" if again else name,
                faces=edge.faces,
                start=start,
                end=end,
                size=size,
            )
        )
    return found


def _no_ridge(job: Job, edge: Edge) -> str:
    return (
        "ridge.kind: the hips do not meet in one point: a ridge runs from "
        f'{place(job, edge.start)} to {place(job, edge.end)}; write kind = "board" and its size'
    )


def split(ridges: list[RidgeLine]) -> list[RidgeLine]:
    """Part ridges where an earlier one passes through them."""
    found: list[RidgeLine] = []
    for ridge in ridges:
        pieces = [ridge]
        for other in found:
            pieces = [part for piece in pieces for part in _parted(piece, other)]
        found += pieces
    return found


def _parted(ridge: RidgeLine, other: RidgeLine) -> list[RidgeLine]:
    """Return a ridge in two where it crosses another's line between its ends."""
    turn = ridge.along.cross(other.along).z
    if abs(turn) < SAME_SHAPE:
        return [ridge]
    at = (other.start - ridge.start).cross(other.along).z / turn
    point = ridge.start + ridge.along * at
    if not other.holds(point) or not SAME_SHAPE < at < ridge.length - SAME_SHAPE:
        return [ridge]
    return [
        replace(ridge, end=point),
        replace(ridge, name=f"{ridge.name} beyond", start=point),
    ]
