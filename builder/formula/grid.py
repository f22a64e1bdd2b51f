"""Named-dimension arrays: one cell per position of main × plane × axis, broadcast by name, never by order.

A grid without dimensions is a single value. Features that sit on one another meet through `Link`: a rod's
reading and its crankpin's reading stand at the same rod. Nothing here knows what a cell holds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from typing import Generic, TypeAlias, TypeVar

POSITIONS = frozenset({"plane", "axis", "point", "grade"})
"""Dimensions that are places on one part; every other dimension is a feature of the engine."""

Dims: TypeAlias = Mapping[str, tuple[str, ...]]
"""Dimensions in order, each with its labels in order: `{"main": ("1", "2"), "plane": ("front", "rear")}`."""


@dataclass(frozen=True, slots=True)
class Missing:
    """No value, and why in one sentence.

    `nothing_there`: the position has none by nature (no cylinder comes after the last), so reductions pass
    over it and nobody waits for a reading.
    """

    reason: str
    nothing_there: bool = False


C = TypeVar("C")


@dataclass(frozen=True, slots=True)
class Grid(Generic[C]):
    """Cells by position, the last dimension running fastest."""

    dims: Dims
    cells: tuple[C, ...]

    def positions(self) -> Iterator[tuple[str, ...]]:
        """The labels of every cell, in the order of the cells."""
        return product(*self.dims.values())

    def items(self) -> Iterator[tuple[dict[str, str], C]]:
        """Every position as `{"main": "1", …}` with its cell."""
        for labels, cell in zip(self.positions(), self.cells, strict=True):
            yield dict(zip(self.dims, labels, strict=True)), cell

    def at(self, place: Mapping[str, str]) -> C:
        """The cell at a place; dimensions that the grid lacks say nothing. KeyError if one is wanting."""
        index = 0
        for dim, labels in self.dims.items():
            if place[dim] not in labels:
                raise KeyError(place[dim])
            index = index * len(labels) + labels.index(place[dim])
        return self.cells[index]


@dataclass(frozen=True, slots=True)
class Link:
    """How one feature sits on another: `Link("crankpin", {"L1": "1", "R1": "1"})` kept under `rod`."""

    on: str
    meets: Mapping[str, str]


Links: TypeAlias = Mapping[str, Link]


def single(cell: C) -> Grid[C]:
    """A grid of one cell."""
    return Grid({}, (cell,))


def path(feature: str, ancestor: str, on: Mapping[str, str]) -> tuple[str, ...]:
    """The features from `feature` down to `ancestor`, both included, as `on` lays them; () if none."""
    steps = [feature]
    while steps[-1] != ancestor:
        below = on.get(steps[-1])
        if below is None or below in steps:
            return ()
        steps.append(below)
    return tuple(steps)


def join(many: Sequence[Sequence[str]], on: Mapping[str, str]) -> tuple[str, ...] | str:
    """The dimensions of a result made from values with these dimensions, or why they cannot meet.

    A feature gives way to one that sits on it. Features that nothing links do not meet: a value by main and
    a value by cylinder have no common position.
    """
    every = tuple(dict.fromkeys(dim for dims in many for dim in dims))
    kept = tuple(dim for dim in every if not any(over != dim and path(over, dim, on) for over in every))
    features = [dim for dim in kept if dim not in POSITIONS]
    for dims in many:
        if all(any(path(feature, dim, on) for dim in dims) for feature in features):
            return kept
    return f"one is by {features[0]}, another by {features[-1]}, and nothing links the two"


def combine(operation: Callable[..., C], grids: Sequence[Grid[C]], links: Links) -> Grid[C] | Missing:
    """Apply an operation position by position, broadcasting by name."""
    first = grids[0].dims
    if all(tuple(grid.dims.items()) == tuple(first.items()) for grid in grids):
        return Grid(first, tuple(map(operation, *(grid.cells for grid in grids))))
    on = {name: link.on for name, link in links.items()}
    dims = _common(grids, on)
    if isinstance(dims, Missing):
        return dims
    places = [dict(zip(dims, labels, strict=True)) for labels in product(*dims.values())]
    try:
        columns = [_column(grid, places, _routes(grid, dims, on), links) for grid in grids]
    except KeyError as label:
        return Missing(f"nothing says what {label.args[0]} sits on")
    return Grid(dims, tuple(map(operation, *columns)))


def _common(grids: Sequence[Grid[C]], on: Mapping[str, str]) -> Dims | Missing:
    """The dimensions of the result with their labels; those of the first grid that has them."""
    joined = join([tuple(grid.dims) for grid in grids], on)
    if isinstance(joined, str):
        return Missing(joined)
    dims: dict[str, tuple[str, ...]] = {}
    for grid in grids:
        for dim, labels in grid.dims.items():
            if set(dims.setdefault(dim, labels)) != set(labels):
                here, there = ", ".join(dims[dim]), ", ".join(labels)
                return Missing(f"the {dim} is {here} in one and {there} in another")
    return {dim: dims[dim] for dim in joined}


def _routes(grid: Grid[C], dims: Dims, on: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    """For each dimension of a grid the features from one of the result down to it."""
    return {dim: next(steps for over in dims if (steps := path(over, dim, on))) for dim in grid.dims}


def _column(
    grid: Grid[C],
    places: Sequence[Mapping[str, str]],
    routes: Mapping[str, tuple[str, ...]],
    links: Links,
) -> list[C]:
    """The grid's cell for each place of the result."""
    return [grid.at({dim: _label(place, route, links) for dim, route in routes.items()}) for place in places]


def _label(place: Mapping[str, str], route: tuple[str, ...], links: Links) -> str:
    """The label at the end of a route: rod R1 sits on crankpin 1."""
    label = place[route[0]]
    for feature in route[:-1]:
        label = links[feature].meets[label]
    return label


def reduce(operation: Callable[[Sequence[C]], C], grid: Grid[C], removed: Sequence[str]) -> Grid[C]:
    """Gather the cells along the removed dimensions and make one of each heap."""
    dims = {dim: labels for dim, labels in grid.dims.items() if dim not in removed}
    heaps: dict[tuple[str, ...], list[C]] = {labels: [] for labels in product(*dims.values())}
    for place, cell in grid.items():
        heaps[tuple(place[dim] for dim in dims)].append(cell)
    return Grid(dims, tuple(map(operation, heaps.values())))


def pick(grid: Grid[C], dim: str, labels: Sequence[str]) -> Grid[C] | Missing:
    """Keep the cells at these labels; one label removes the dimension, several narrow it."""
    for label in labels:
        if label not in grid.dims.get(dim, ()):
            return Missing(f"there is no {dim} {label} to pick")
    kept = tuple(cell for place, cell in grid.items() if place[dim] in labels)
    if len(labels) == 1:
        return Grid({name: every for name, every in grid.dims.items() if name != dim}, kept)
    chosen = tuple(label for label in grid.dims[dim] if label in labels)
    return Grid({**grid.dims, dim: chosen}, kept)


def neighbour(grid: Grid[C], dim: str, last: C) -> Grid[C] | Missing:
    """At each position the cell of the next one along `dim`; the last of them gets the cell `last`."""
    if not grid.dims.get(dim):
        return Missing(f"there is no {dim} to have a neighbour")
    labels = grid.dims[dim]
    after = dict(pairwise(labels))
    cells = (
        grid.at({**place, dim: after[place[dim]]}) if place[dim] in after else last
        for place, _ in grid.items()
    )
    return Grid(grid.dims, tuple(cells))
