/**
 * Which characteristics a few typed words mean, best first. The rules, number for number, are those of
 * `builder/lookup/rank.py`, which states them in full; the same vectors run through both.
 *
 * @typedef {{subject: number, points: number}} Hit
 * @typedef {{hits: Hit[], family: number, unmatched: number}} Ranking   family -1: the query names none
 */
(function () {
  "use strict";

  const Gaugeleaf = (globalThis.Gaugeleaf = globalThis.Gaugeleaf || {});

  const EXACT = 12;
  const BEGUN = 6;
  const BEGUN_SHARE = 3;
  const MISSPELT = [0, 5, 3];
  const TOGETHER = 4;
  const IN_A_ROW = 8;
  const WHOLE = 14;
  const NAME_FROM = 3;
  const MOST_WORDS = 8;
  const PLURAL_FROM = 4;
  const ONE_SLIP_FROM = 4;
  const TWO_SLIPS_FROM = 7;
  const LONGEST = 64;

  const MARKS = /[\u0300-\u036f]/g;
  const GAPS = /[^a-z0-9\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u1fff\u3040-\ud7ff\uf900-\ufdff]+/u;
  const SMALL = new Set(
    "a an and are at do does for how i is it its many much my of on or should the to what whats with".split(" "),
  );

  // Folding

  /** A word without the `s` of its plural. @param {string} word @returns {string} */
  function singular(word) {
    const plural = word.length >= PLURAL_FROM && word.endsWith("s") && !word.endsWith("ss");
    return plural ? word.slice(0, -1) : word;
  }

  /** The words of a text, folded, in order. @param {string} text @returns {string[]} */
  function words(text) {
    const plain = text.normalize("NFKD").replace(MARKS, "").toLowerCase().replace(/\u03bc/g, "u");
    return plain.split(GAPS).filter(Boolean).map(singular);
  }

  /** The words of a text without the small ones, or with them where there are no others. @returns {string[]} */
  function telling(text) {
    const every = words(text);
    const some = every.filter((word) => !SMALL.has(word));
    return some.length ? some : every;
  }

  // The index, as `as_data` of `builder/lookup/index.py` writes it

  /** Rising numbers from the steps between them. @param {number[]} steps @returns {Int32Array} */
  function unpacked(steps) {
    let sum = 0;
    return Int32Array.from(steps, (step) => (sum += step));
  }

  /** The index made ready: which phrases hold each word, and the sheets on which a query is counted. */
  function lookupIndex(data) {
    const known = data.words ? data.words.split(" ") : [];
    return {
      families: data.families,
      words: known,
      phrases: data.phrases,
      uses: data.uses,
      lists: data.lists.map(unpacked),
      subjects: data.subjects,
      groups: data.had_by[0],
      had_by: data.had_by[1],
      phrases_of: phrasesOf(known.length, data.phrases),
      rows: new Int32Array(data.subjects.length * MOST_WORDS),
      bonus: new Int32Array(data.subjects.length),
      met: new Uint8Array(data.subjects.length),
      touched: new Uint8Array(data.phrases.length),
      points: [],
    };
  }

  /** The phrases that hold each word. @returns {number[][]} */
  function phrasesOf(count, phrases) {
    const found = Array.from({ length: count }, () => []);
    phrases.forEach((phrase, number) => {
      for (const word of phrase) {
        const list = found[word];
        if (list[list.length - 1] !== number) list.push(number);
      }
    });
    return found;
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

  // What a typed word means: pairs of a known word's number and the points earned by it

  /** The known words that `word` equals or begins. @returns {[number, number][]} */
  function plainly(index, word) {
    const found = [];
    for (let number = firstFrom(index.words, word); number < index.words.length; number += 1) {
      const known = index.words[number];
      if (!known.startsWith(word)) break;
      const share = Math.floor((BEGUN_SHARE * word.length) / known.length);
      found.push([number, known.length === word.length ? EXACT : BEGUN + share]);
    }
    return found;
  }

  /** The first family one of whose words `word` begins, or -1. @returns {number} */
  function familyOf(index, word) {
    if (word.length < NAME_FROM) return -1;
    return index.families.findIndex((family) => family[1].some((name) => name.startsWith(word)));
  }

  /** The two known words that were typed as one, or null. @returns {[number, number][][] | null} */
  function parted(index, word) {
    for (let cut = word.length - NAME_FROM; cut >= NAME_FROM; cut -= 1) {
      const first = firstFrom(index.words, word.slice(0, cut));
      if (index.words[first] !== word.slice(0, cut)) continue;
      const rest = plainly(index, word.slice(cut));
      if (rest.length) return [[[first, EXACT]], rest];
    }
    return null;
  }

  let above = new Int32Array(LONGEST + 1);
  let before = new Int32Array(LONGEST + 1);
  let row = new Int32Array(LONGEST + 1);

  /** One line of the table of slips: `typed` up to its letter `number` against every beginning of `known`. */
  function slipsLine(typed, known, number) {
    [above, before, row] = [before, row, above];
    row[0] = number;
    const letter = typed.charCodeAt(number - 1);
    const last = number > 1 ? typed.charCodeAt(number - 2) : -1;
    for (let place = 1; place <= known.length; place += 1) {
      const other = known.charCodeAt(place - 1);
      let least = before[place - 1] + (letter === other ? 0 : 1);
      if (before[place] + 1 < least) least = before[place] + 1;
      if (row[place - 1] + 1 < least) least = row[place - 1] + 1;
      const swapped = place > 1 && other === last && letter === known.charCodeAt(place - 2);
      if (swapped && above[place - 2] + 1 < least) least = above[place - 2] + 1;
      row[place] = least;
    }
  }

  /** The fewest slips from `typed` to the whole of `known`, and to its nearest beginning. @returns {[number, number]} */
  function slips(typed, known) {
    for (let place = 0; place <= known.length; place += 1) row[place] = place;
    for (let number = 1; number <= typed.length; number += 1) slipsLine(typed, known, number);
    let begun = row[0];
    for (let place = 1; place <= known.length; place += 1) begun = Math.min(begun, row[place]);
    return [row[known.length], begun];
  }

  /** The known words that are nearest to `word`, where any is near enough. @returns {[number, number][]} */
  function misspelt(index, word) {
    const allowed = (word.length >= ONE_SLIP_FROM ? 1 : 0) + (word.length >= TWO_SLIPS_FROM ? 1 : 0);
    let least = allowed;
    let found = [];
    if (!allowed || word.length > LONGEST) return found;
    for (let number = firstFrom(index.words, word[0]); number < index.words.length; number += 1) {
      const known = index.words[number];
      if (known[0] !== word[0]) break;
      if (known.length + least < word.length || known.length > LONGEST) continue; // too short to be near
      const [whole, begun] = slips(word, known);
      if (begun > least) continue;
      if (begun < least) found = [];
      least = begun;
      found.push([number, MISSPELT[begun] - (begun < whole ? 1 : 0)]);
    }
    return found;
  }

  /** What each typed word earns by which known words, and the family that the words name. */
  function understood(index, typed) {
    const earned = [];
    let family = -1;
    for (const word of typed) {
      const found = plainly(index, word);
      const named = found.length || family >= 0 ? -1 : familyOf(index, word);
      if (named >= 0) family = named;
      else if (found.length) earned.push(found);
      else earned.push(...(parted(index, word) || [misspelt(index, word)]));
    }
    return { earned: earned.slice(0, MOST_WORDS), family };
  }

  // Counting

  /** How many times a phrase that holds every word of the query adds its weight. @returns {number} */
  function timesOf(phrase, points) {
    for (let start = 0; start + points.length <= phrase.length; start += 1) {
      let least = EXACT;
      for (let word = 0; word < points.length && least; word += 1) {
        least = Math.min(least, points[word][phrase[start + word]]);
      }
      if (least) return phrase.length === points.length && least === EXACT ? WHOLE : IN_A_ROW;
    }
    return TOGETHER;
  }

  /** The most that a word earns in a phrase. @returns {number} */
  function bestIn(phrase, points) {
    let best = 0;
    for (const word of phrase) if (points[word] > best) best = points[word];
    return best;
  }

  /** Count what a phrase earns for every subject that uses it; subjects met for the first time join `met`. */
  function addPhrase(index, number, points, met) {
    const phrase = index.phrases[number];
    const uses = index.uses[number];
    const best = points.map((word) => bestIn(phrase, word));
    const times = best.includes(0) ? 0 : timesOf(phrase, points);
    for (let use = 0; use < uses.length; use += 2) {
      const weight = uses[use];
      const extra = times ? times * weight - phrase.length : 0;
      for (const subject of index.lists[uses[use + 1]]) {
        const first = subject * MOST_WORDS;
        if (!index.met[subject]) {
          index.met[subject] = 1;
          index.rows.fill(0, first, first + MOST_WORDS);
          index.bonus[subject] = 0;
          met.push(subject);
        }
        for (let word = 0; word < best.length; word += 1) {
          const sum = best[word] * weight;
          if (sum > index.rows[first + word]) index.rows[first + word] = sum;
        }
        if (extra > index.bonus[subject]) index.bonus[subject] = extra;
      }
    }
  }

  /** Write what each word of the query earns on a sheet of its own, by known word. @returns {Uint8Array[]} */
  function sheets(index, earned) {
    return earned.map((pairs, place) => {
      const sheet = (index.points[place] = index.points[place] || new Uint8Array(index.words.length));
      for (const [word, points] of pairs) sheet[word] = points;
      return sheet;
    });
  }

  /** Count every phrase that holds a word of the query once. @returns {number[]} the subjects met */
  function counted(index, earned) {
    const points = sheets(index, earned);
    const met = [];
    const phrases = [];
    for (const pairs of earned) {
      for (const [word] of pairs) {
        for (const number of index.phrases_of[word]) {
          if (index.touched[number]) continue;
          index.touched[number] = 1;
          phrases.push(number);
          addPhrase(index, number, points, met);
        }
      }
    }
    for (const number of phrases) index.touched[number] = 0;
    for (const subject of met) index.met[subject] = 0;
    earned.forEach((pairs, place) => pairs.forEach(([word]) => (points[place][word] = 0)));
    return met;
  }

  /** Whether a family has a characteristic; -1 stands for any family. @returns {boolean} */
  function has(index, subject, family) {
    return family < 0 || index.groups[index.had_by[subject]].includes(family);
  }

  /** The subjects that match the most words of the query, with their points. @returns {{most: number, hits: Hit[]}} */
  function tallied(index, subjects, count, family) {
    let most = 0;
    let hits = [];
    for (const subject of subjects) {
      if (!has(index, subject, family)) continue;
      let matched = 0;
      let points = index.bonus[subject];
      for (let place = subject * MOST_WORDS; place < subject * MOST_WORDS + count; place += 1) {
        if (index.rows[place]) matched += 1;
        points += index.rows[place];
      }
      if (matched < most) continue;
      if (matched > most) hits = [];
      most = matched;
      hits.push({ subject, points });
    }
    return { most, hits };
  }

  /** Rank the characteristics for a query; `family` -1 stands for all. @returns {Ranking} */
  function rank(index, query, family) {
    const { earned, family: named } = understood(index, telling(query).slice(0, MOST_WORDS));
    const chosen = family >= 0 ? family : named;
    if (!earned.length) {
      const every = index.subjects.map((_, subject) => ({ subject, points: 0 }));
      return { hits: every.filter((hit) => has(index, hit.subject, chosen)), family: named, unmatched: 0 };
    }
    const { most, hits } = tallied(index, counted(index, earned), earned.length, chosen);
    hits.sort((one, other) => other.points - one.points || one.subject - other.subject);
    return { hits, family: named, unmatched: earned.length - most };
  }

  Gaugeleaf.lookup = { words, telling, slips, index: lookupIndex, rank };
})();
