/**
 * Which characteristics a few typed words mean, best first. The rules, number for number, are those of
 * `builder/lookup/ranking.py`, which states them in full; the same vectors run through both. Needs `lookup-words.js`.
 *
 * @typedef {{subjects: Int32Array, points: Int32Array, family: number, unmatched: number}} Ranking
 *   the hits by number, best first, with their points; family -1: the query names none
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { LONGEST, singular, slips, slipsAllowed, telling } = Gaugeleaf.lookup;

  const EXACT = 12;
  const BEGUN = 6;
  const BEGUN_SHARE = 3;
  const EQUALS_IN_SINGULAR = 6;
  const MISSPELT = [0, 5, 3];
  const TOGETHER = 4;
  const IN_A_ROW = 8;
  const WHOLE = 14;
  const NAME_FROM = 3;
  const MOST_WORDS = 8;
  const MOST_POINTS = 2 ** 11; // eight words of 12 times 7 points and a bonus of 14 times 7 are far less

  // The index, as `as_data` of `builder/lookup/index.py` writes it

  /** Where each row of a flat table starts, and where the last one ends. @param {number[]} lengths */
  function startsOf(lengths) {
    const starts = new Int32Array(lengths.length + 1);
    for (let row = 0; row < lengths.length; row += 1) starts[row + 1] = starts[row] + lengths[row];
    return starts;
  }

  /** A table of rows of whole numbers: row `n` stands in `cells` from `starts[n]` to `starts[n + 1]`. */
  function table([lengths, cells]) {
    return { starts: startsOf(lengths), cells };
  }

  /** The phrases that hold each word, as a table; the phrases of a word stand in rising order. */
  function phrasesOf(count, phrases) {
    const lengths = new Int32Array(count);
    for (const word of phrases.cells) lengths[word] += 1;
    const starts = startsOf(lengths);
    const next = starts.slice();
    const cells = new Int32Array(phrases.cells.length);
    for (let number = 0; number + 1 < phrases.starts.length; number += 1) {
      for (let cell = phrases.starts[number]; cell < phrases.starts[number + 1]; cell += 1) {
        const word = phrases.cells[cell];
        cells[next[word]] = number;
        next[word] += 1;
      }
    }
    return { starts, cells };
  }

  /** The index made ready: which phrases hold each word, and the sheets on which a query is counted. */
  function lookupIndex(data) {
    const known = data.words ? data.words.split(" ") : [];
    const subjects = data.subjects ? data.subjects.split(" ") : [];
    const phrases = table(data.phrases);
    return {
      families: data.families,
      words: known,
      phrases,
      uses: table(data.uses),
      lists: table(data.lists),
      subjects,
      groups: data.had_by[0],
      had_by: data.had_by[1],
      phrases_of: phrasesOf(known.length, phrases),
      rows: new Int32Array(subjects.length * MOST_WORDS),
      bonus: new Int32Array(subjects.length),
      met: new Uint8Array(subjects.length),
      matched: new Uint8Array(subjects.length),
      sums: new Int32Array(subjects.length),
      touched: new Uint8Array(phrases.starts.length),
      points: [],
    };
  }

  /** The place of the first item that is not before `start`. @param {string[]} list @returns {number} */
  function firstFrom(list, start) {
    let low = 0;
    let high = list.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (list[middle] < start) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  // What a typed word means: the numbers of known words, and the points earned by each

  /** @typedef {{words: number[], points: number[]}} Earned */

  /** The known words that `word` equals or begins, in the plural or in the singular. @returns {Earned} */
  function plainly(index, word) {
    const found = begun(index, word);
    const one = singular(word);
    if (one === word) return found;
    if (!found.words.length) return begun(index, one);
    const known = firstFrom(index.words, one);
    if (index.words[known] === one) {
      found.words.unshift(known);
      found.points.unshift(EQUALS_IN_SINGULAR);
    }
    return found;
  }

  /** The known words that `word` equals or begins as it is. @returns {Earned} */
  function begun(index, word) {
    const found = { words: [], points: [] };
    for (let number = firstFrom(index.words, word); number < index.words.length; number += 1) {
      const known = index.words[number];
      if (!known.startsWith(word)) break;
      const share = Math.floor((BEGUN_SHARE * word.length) / known.length);
      found.words.push(number);
      found.points.push(known.length === word.length ? EXACT : BEGUN + share);
    }
    return found;
  }

  /** The first family one of whose words `word` begins, or -1. @returns {number} */
  function familyOf(index, word) {
    if (word.length < NAME_FROM) return -1;
    return index.families.findIndex((family) => family[1].some((name) => name.startsWith(word)));
  }

  /** The two known words that were typed as one, or null. @returns {Earned[] | null} */
  function parted(index, word) {
    for (let cut = word.length - NAME_FROM; cut >= NAME_FROM; cut -= 1) {
      const first = firstFrom(index.words, word.slice(0, cut));
      if (index.words[first] !== word.slice(0, cut)) continue;
      const rest = plainly(index, word.slice(cut));
      if (rest.words.length) return [{ words: [first], points: [EXACT] }, rest];
    }
    return null;
  }

  /** The known words that are nearest to `word`, where any is near enough. @returns {Earned} */
  function misspelt(index, word) {
    let least = slipsAllowed(word);
    let found = { words: [], points: [] };
    if (!least) return found;
    for (let number = firstFrom(index.words, word[0]); number < index.words.length; number += 1) {
      const known = index.words[number];
      if (known[0] !== word[0]) break;
      if (known.length + least < word.length || known.length > LONGEST) continue; // too short to be near
      const [whole, begun] = slips(word, known);
      if (begun > least) continue;
      if (begun < least) found = { words: [], points: [] };
      least = begun;
      found.words.push(number);
      found.points.push(MISSPELT[begun] - (begun < whole ? 1 : 0));
    }
    return found;
  }

  /** What each typed word earns by which known words, and the family that the words name. */
  function understood(index, typed) {
    const earned = [];
    let family = -1;
    for (const word of typed) {
      const found = plainly(index, word);
      const plain = found.words.length > 0;
      const named = plain || family >= 0 ? -1 : familyOf(index, word);
      if (named >= 0) family = named;
      else if (plain) earned.push(found);
      else earned.push(...(parted(index, word) || [misspelt(index, singular(word))]));
    }
    return { earned: earned.slice(0, MOST_WORDS), family };
  }

  // Counting

  /** How many times a phrase, in the cells from `first` to `end`, adds its weight if it holds every word. @returns {number} */
  function timesOf(cells, first, end, points) {
    for (let start = first; start + points.length <= end; start += 1) {
      let least = EXACT;
      for (let word = 0; word < points.length && least; word += 1) {
        least = Math.min(least, points[word][cells[start + word]]);
      }
      if (least) return end - first === points.length && least === EXACT ? WHOLE : IN_A_ROW;
    }
    return TOGETHER;
  }

  const best = new Int32Array(MOST_WORDS);

  /** Put the most that each word earns in a phrase into `best`. @returns {boolean} whether each earns something */
  function bestIn(cells, first, end, points) {
    let all = true;
    for (let word = 0; word < points.length; word += 1) {
      let most = 0;
      for (let cell = first; cell < end; cell += 1) {
        if (points[word][cells[cell]] > most) most = points[word][cells[cell]];
      }
      best[word] = most;
      if (!most) all = false;
    }
    return all;
  }

  /** Count the `best` of a phrase for a subject that uses it. */
  function addTo(index, subject, weight, extra, count) {
    const { rows, bonus } = index;
    const first = subject * MOST_WORDS;
    if (!index.met[subject]) {
      index.met[subject] = 1;
      bonus[subject] = 0;
      for (let word = 0; word < count; word += 1) rows[first + word] = 0;
    }
    for (let word = 0; word < count; word += 1) {
      const sum = best[word] * weight;
      if (sum > rows[first + word]) rows[first + word] = sum;
    }
    if (extra > bonus[subject]) bonus[subject] = extra;
  }

  /** Count what a phrase earns for every subject that uses it, or only for those met before. */
  function addPhrase(index, number, points, onlyMet) {
    const { phrases, uses, lists } = index;
    const [first, end] = [phrases.starts[number], phrases.starts[number + 1]];
    const all = bestIn(phrases.cells, first, end, points);
    const times = all ? timesOf(phrases.cells, first, end, points) : 0;
    for (let use = uses.starts[number]; use < uses.starts[number + 1]; use += 2) {
      const weight = uses.cells[use];
      const list = uses.cells[use + 1];
      const extra = times ? times * weight - (end - first) : 0;
      let subject = 0;
      for (let cell = lists.starts[list]; cell < lists.starts[list + 1]; cell += 1) {
        subject += lists.cells[cell];
        if (!onlyMet || index.met[subject]) addTo(index, subject, weight, extra, points.length);
      }
    }
  }

  /** Write what each word of the query earns on a sheet of its own, by known word. @returns {Uint8Array[]} */
  function sheets(index, earned) {
    return earned.map(({ words: numbers, points }, place) => {
      const sheet = (index.points[place] = index.points[place] || new Uint8Array(index.words.length));
      for (let item = 0; item < numbers.length; item += 1) sheet[numbers[item]] = points[item];
      return sheet;
    });
  }

  /** How many phrases hold one of the known words. @returns {number} */
  function usesOf(index, { words: numbers }) {
    const { starts } = index.phrases_of;
    return numbers.reduce((sum, word) => sum + starts[word + 1] - starts[word], 0);
  }

  /** Visit once each phrase that holds one of the known words and was not visited yet. */
  function visit(index, { words: numbers }, visited, each) {
    const { starts, cells } = index.phrases_of;
    for (const word of numbers) {
      for (let cell = starts[word]; cell < starts[word + 1]; cell += 1) {
        const number = cells[cell];
        if (index.touched[number]) continue;
        index.touched[number] = 1;
        visited.push(number);
        each(number);
      }
    }
  }

  /**
   * Count every phrase that holds a word of the query. With `whole`, only for the subjects that the rarest word finds:
   * what matches every word is among them.
   */
  function counted(index, earned, whole) {
    const points = sheets(index, earned);
    const [rarest, ...others] = [...earned].sort((one, other) => usesOf(index, one) - usesOf(index, other));
    const visited = [];
    visit(index, rarest, visited, (number) => addPhrase(index, number, points, false));
    for (const word of others) visit(index, word, visited, (number) => addPhrase(index, number, points, whole));
    for (const number of visited) index.touched[number] = 0;
    earned.forEach(({ words: numbers }, place) => {
      for (const word of numbers) points[place][word] = 0;
    });
  }

  /** Whether a family has a characteristic; -1 stands for any family. @returns {boolean} */
  function has(index, subject, family) {
    return family < 0 || index.groups[index.had_by[subject]].includes(family);
  }

  /** The words matched and the points of every subject met that the family has; the most words that any matches. */
  function tallied(index, count, family) {
    const { rows, bonus, met, matched, sums } = index;
    let most = 0;
    for (let subject = 0; subject < met.length; subject += 1) {
      matched[subject] = 0;
      if (!met[subject] || !has(index, subject, family)) continue;
      let words_matched = 0;
      let points = bonus[subject];
      for (let place = subject * MOST_WORDS; place < subject * MOST_WORDS + count; place += 1) {
        if (rows[place]) words_matched += 1;
        points += rows[place];
      }
      matched[subject] = words_matched;
      sums[subject] = points;
      if (words_matched > most) most = words_matched;
    }
    met.fill(0);
    return most;
  }

  /** The subjects that match so many words, most points first, equals in their own order: sorted by counting. */
  function sorted(index, most) {
    const { matched, sums } = index;
    const ends = new Int32Array(MOST_POINTS + 1);
    for (let subject = 0; subject < matched.length; subject += 1) {
      if (matched[subject] === most) ends[MOST_POINTS - sums[subject]] += 1;
    }
    for (let place = 1; place <= MOST_POINTS; place += 1) ends[place] += ends[place - 1];
    const subjects = new Int32Array(ends[MOST_POINTS]);
    for (let subject = matched.length - 1; subject >= 0; subject -= 1) {
      if (matched[subject] !== most) continue;
      const place = MOST_POINTS - sums[subject];
      ends[place] -= 1;
      subjects[ends[place]] = subject;
    }
    return subjects;
  }

  /** The most words that any subject matches; the tallies then hold those that match every word, or else all. */
  function countedBest(index, earned, family) {
    const count = earned.length;
    counted(index, earned, true);
    const most = tallied(index, count, family);
    if (most === count || count === 1) return most;
    counted(index, earned, false);
    return tallied(index, count, family);
  }

  /** Every subject that a family has, in the order of the tables. */
  function everything(index, family) {
    const every = index.had_by.map((_, subject) => subject);
    return Int32Array.from(every.filter((subject) => has(index, subject, family)));
  }

  /** Rank the characteristics for a query; `family` -1 stands for all. @returns {Ranking} */
  function rank(index, query, family) {
    const { earned, family: named } = understood(index, telling(query).slice(0, MOST_WORDS));
    const chosen = family >= 0 ? family : named;
    if (!earned.length) {
      const every = everything(index, chosen);
      return { subjects: every, points: new Int32Array(every.length), family: named, unmatched: 0 };
    }
    const most = countedBest(index, earned, chosen);
    const subjects = most ? sorted(index, most) : new Int32Array(0);
    const points = subjects.map((subject) => index.sums[subject]);
    return { subjects, points, family: named, unmatched: earned.length - most };
  }

  Object.assign(Gaugeleaf.lookup, { index: lookupIndex, rank });
})();
