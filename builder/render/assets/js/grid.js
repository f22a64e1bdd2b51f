/**
 * Named-dimension arrays, broadcast by name; the browser's half of `grid.py`, which knows nothing of cells.
 *
 * `dims` is a Map from a dimension's name to its labels; the last dimension runs fastest in `cells`. Where grids
 * do not meet, a string says why.
 *
 * @typedef {{dims: Map<string, string[]>, cells: any[]}} Grid
 * @typedef {Map<string, {on: string, meets: Map<string, string>}>} Links
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const POSITIONS = new Set(["plane", "axis", "point", "grade"]);

  /** @param {Map<string, string[]>} dims @param {any[]} cells @returns {Grid} */
  function grid(dims, cells) {
    return { dims, cells };
  }

  /** A grid of one cell. @returns {Grid} */
  function single(cell) {
    return grid(new Map(), [cell]);
  }

  /** Every position of some dimensions, as Maps from dimension to label. @returns {Map<string, string>[]} */
  function positions(dims) {
    let places = [new Map()];
    for (const [dim, labels] of dims) {
      places = places.flatMap((place) => labels.map((label) => new Map([...place, [dim, label]])));
    }
    return places;
  }

  /** Where the cell of a place stands among the cells; -1 where the place has none. */
  function indexOf(of, place) {
    let index = 0;
    for (const [dim, labels] of of.dims) {
      const step = labels.indexOf(place.get(dim));
      if (step < 0) return -1;
      index = index * labels.length + step;
    }
    return index;
  }

  /** The cell at a place; dimensions that the grid lacks say nothing. Undefined where the place has none. */
  function at(of, place) {
    const index = indexOf(of, place);
    return index < 0 ? undefined : of.cells[index];
  }

  /** The features from `feature` down to `ancestor`, both included; undefined if none. */
  function path(feature, ancestor, links) {
    const steps = [feature];
    while (steps[steps.length - 1] !== ancestor) {
      const below = links.get(steps[steps.length - 1]);
      if (!below || steps.includes(below.on)) return undefined;
      steps.push(below.on);
    }
    return steps;
  }

  /** The dimensions of a result made from values with these dimensions, or why they cannot meet. */
  function join(many, links) {
    const every = [...new Set(many.flat())];
    const kept = every.filter((dim) => !every.some((over) => over !== dim && path(over, dim, links)));
    const features = kept.filter((dim) => !POSITIONS.has(dim));
    const whole = many.some((dims) => features.every((feature) => dims.some((dim) => path(feature, dim, links))));
    if (whole) return kept;
    return `one is by ${features[0]}, another by ${features[features.length - 1]}, and nothing links the two`;
  }

  /** Whether two lists hold the same labels, in whatever order. */
  function sameLabels(left, right) {
    const known = new Set(left);
    return new Set(right).size === known.size && right.every((label) => known.has(label));
  }

  /** Dimensions with their labels as one text, to tell whether two grids are laid out alike. */
  function layout(of) {
    return JSON.stringify([...of.dims]);
  }

  /** The dimensions of a result with their labels; those of the first grid that has them. */
  function common(grids, links) {
    const joined = join(grids.map((one) => [...one.dims.keys()]), links);
    if (typeof joined === "string") return joined;
    const dims = new Map();
    for (const one of grids) {
      for (const [dim, labels] of one.dims) {
        if (!dims.has(dim)) dims.set(dim, labels);
        const first = dims.get(dim);
        if (!sameLabels(first, labels)) return unlike(dim, first, labels);
      }
    }
    return new Map(joined.map((dim) => [dim, dims.get(dim)]));
  }

  /** Why one dimension with two sets of labels cannot meet. */
  function unlike(dim, first, second) {
    return `the ${dim} is ${first.join(", ")} in one and ${second.join(", ")} in another`;
  }

  /** The label at the end of a route, rod R1 on crankpin 1; throws the label that sits on nothing. */
  function labelAt(place, route, links) {
    let label = place.get(route[0]);
    for (const feature of route.slice(0, -1)) {
      const below = links.get(feature).meets.get(label);
      if (below === undefined) throw new Unseated(label);
      label = below;
    }
    return label;
  }

  /** A label that no link seats on anything. */
  class Unseated extends Error {}

  /** The grid's cell for each place of the result. */
  function column(of, dims, places, links) {
    const routes = [...of.dims.keys()].map((dim) => [
      dim, [...dims.keys()].map((over) => path(over, dim, links)).find(Boolean)]);
    return places.map((place) => {
      const own = new Map(routes.map(([dim, route]) => [dim, labelAt(place, route, links)]));
      const stray = [...own].find(([dim, label]) => !of.dims.get(dim).includes(label));
      if (stray) throw new Unseated(stray[1]);
      return at(of, own);
    });
  }

  /** Apply an operation position by position, broadcasting by name. @returns {Grid | string} */
  function combine(operation, grids, links) {
    const first = layout(grids[0]);
    if (grids.every((one) => layout(one) === first)) {
      return grid(grids[0].dims, grids[0].cells.map((_, index) => operation(...grids.map((one) => one.cells[index]))));
    }
    const dims = common(grids, links);
    if (typeof dims === "string") return dims;
    const places = positions(dims);
    try {
      const columns = grids.map((one) => column(one, dims, places, links));
      return grid(dims, places.map((_, index) => operation(...columns.map((cells) => cells[index]))));
    } catch (error) {
      if (error instanceof Unseated) return `nothing says what ${error.message} sits on`;
      throw error;
    }
  }

  /** Gather the cells along the removed dimensions and make one of each heap. @returns {Grid} */
  function reduce(operation, of, removed) {
    const dims = new Map([...of.dims].filter(([dim]) => !removed.includes(dim)));
    const heaps = grid(dims, positions(dims).map(() => []));
    positions(of.dims).forEach((place, index) => heaps.cells[indexOf(heaps, place)].push(of.cells[index]));
    return grid(dims, heaps.cells.map(operation));
  }

  /** Keep the cells at these labels; one label removes the dimension, several narrow it. @returns {Grid | string} */
  function pick(of, dim, labels) {
    const known = of.dims.get(dim) || [];
    const stranger = labels.find((label) => !known.includes(label));
    if (stranger !== undefined) return `there is no ${dim} ${stranger} to pick`;
    const places = positions(of.dims);
    const kept = of.cells.filter((_, index) => labels.includes(places[index].get(dim)));
    if (labels.length === 1) return grid(new Map([...of.dims].filter(([name]) => name !== dim)), kept);
    return grid(new Map(of.dims).set(dim, known.filter((label) => labels.includes(label))), kept);
  }

  /** At each position the cell of the next one along `dim`; the last gets the cell `last`. @returns {Grid | string} */
  function neighbour(of, dim, last) {
    const labels = of.dims.get(dim) || [];
    if (labels.length === 0) return `there is no ${dim} to have a neighbour`;
    const cells = positions(of.dims).map((place) => {
      const next = labels[labels.indexOf(place.get(dim)) + 1];
      return next === undefined ? last : at(of, new Map(place).set(dim, next));
    });
    return grid(of.dims, cells);
  }

  Gaugeleaf.grid = Object.freeze({ grid, single, positions, at, combine, reduce, pick, neighbour });
})();
