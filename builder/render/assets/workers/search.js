// Search in a worker: finds every entry that holds all the words, best first. It answers the messages of the
// theme's search field: setup (0) with ready (1), query (2) with result (3).
//
// There is no index to build. An entry is [location, title, text]; a query reads through all of them, which for
// ten thousand entries takes less time than a keystroke, and the first answer comes as soon as the text is here.
"use strict";

var SETUP = 0;
var READY = 1;
var QUERY = 2;
var RESULT = 3;

var SHOWN = 200; // pages in an answer
var BEFORE = 60; // letters of the text shown before the first word found, and in all
var TEASER = 220;

var entries = [];

function setUp(docs) {
  var rows = typeof docs === "string" ? JSON.parse(docs) : docs;
  var page = null;
  entries = rows.map(function (row) {
    var entry = { location: row[0], title: row[1], text: row[2] };
    if (row[0].indexOf("#") < 0) {
      page = entry;
    }
    entry.page = page || entry;
    entry.titleRead = row[1].toLowerCase();
    entry.textRead = row[2].toLowerCase();
    return entry;
  });
}

// A query's words as typed; a plural also finds the singular. A word in quotes is taken with its spaces.
function wordsOf(query) {
  var words = [];
  query.toLowerCase().replace(/"([^"]+)"|[^\s"]+/g, function (all, quoted) {
    var typed = (quoted || all).trim().replace(/^[,;:]+|[,;:.]+$/g, "");
    if (typed) {
      words.push({ typed: typed, read: stem(typed) });
    }
    return "";
  });
  return words;
}

function stem(word) {
  return word.length > 3 && /[^s]s$/.test(word) ? word.slice(0, -1) : word;
}

function isLetter(text, at) {
  return at >= 0 && at < text.length && /[\p{L}\p{N}]/u.test(text[at]);
}

// How well `word` stands in `text`: 4 as a whole word, 3 at the start of one, 1 inside one, 0 not at all.
function standing(text, word) {
  var best = 0;
  for (var at = text.indexOf(word); at >= 0 && best < 4; at = text.indexOf(word, at + 1)) {
    if (isLetter(text, at - 1)) {
      best = Math.max(best, word.length > 2 ? 1 : 0);
    } else {
      best = isLetter(text, at + word.length) ? Math.max(best, 3) : 4;
    }
  }
  return best;
}

function standingOf(text, word) {
  var found = standing(text, word.read);
  return found === 3 && word.read !== word.typed && standing(text, word.typed) === 4 ? 4 : found;
}

// The weight of an entry for `words`, and which of them it holds. A word of the page's title counts for every
// entry of that page, so that an engine's name and a word of one of its steps are found together.
function weigh(entry, words) {
  var sum = 0;
  var held = 0;
  var own = 0;
  var terms = {};
  words.forEach(function (word) {
    var inTitle = standingOf(entry.titleRead, word);
    var inText = standingOf(entry.textRead, word);
    var inPage = entry.page === entry ? 0 : standingOf(entry.page.titleRead, word);
    terms[word.typed] = inTitle + inText + inPage > 0;
    held += terms[word.typed] ? 1 : 0;
    own += inTitle + inText > 0 ? 1 : 0;
    sum += 10 * inTitle + 2 * inText + 3 * inPage;
  });
  if (entry.page === entry) {
    sum *= 1.25; // between equals, the page goes before its parts
  }
  return { entry: entry, held: own ? held : 0, score: sum, terms: terms };
}

function answer(query) {
  var words = wordsOf(query);
  if (!words.length) {
    return [];
  }
  var most = 0;
  var found = entries.map(function (entry) {
    var weight = weigh(entry, words);
    most = Math.max(most, weight.held);
    return weight;
  });
  if (!most) {
    return [];
  }
  return byPage(
    found.filter(function (weight) {
      return weight.held === most;
    }),
    words
  );
}

function byPage(found, words) {
  var pages = new Map();
  found.sort(function (a, b) {
    return b.score - a.score;
  });
  found.forEach(function (weight) {
    var group = pages.get(weight.entry.page) || [];
    group.push(weight);
    pages.set(weight.entry.page, group);
  });
  return Array.from(pages)
    .slice(0, SHOWN)
    .map(function (pair) {
      var items = pair[1].map(function (weight) {
        return item(weight.entry, weight.score, weight.terms, words);
      });
      var named = pair[1].some(function (weight) {
        return weight.entry === pair[0];
      });
      // the theme draws a group under its page, which it must find in the group
      return named ? items : items.concat(item(pair[0], 0, {}, words));
    });
}

function item(entry, score, terms, words) {
  return {
    location: entry.location,
    title: mark(entry.title, words),
    text: teaser(entry, words),
    score: score,
    terms: terms,
  };
}

function teaser(entry, words) {
  var first = Infinity;
  words.forEach(function (word) {
    var at = entry.textRead.indexOf(word.read);
    first = at >= 0 ? Math.min(first, at) : first;
  });
  var start = first === Infinity ? 0 : Math.max(0, first - BEFORE);
  start = start ? entry.text.indexOf(" ", start) + 1 : 0;
  var part = entry.text.slice(start, start + TEASER);
  return (start ? "… " : "") + mark(part, words) + (start + TEASER < entry.text.length ? " …" : "");
}

function escape(text) {
  return text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;");
}

function mark(text, words) {
  var pattern = words
    .map(function (word) {
      return word.read.replace(/[.*+?^${}()|[\]\\\/-]/g, "\\$&");
    })
    .join("|");
  return text
    .split(new RegExp("(" + pattern + ")", "gi"))
    .map(function (part, number) {
      return number % 2 ? "<mark>" + escape(part) + "</mark>" : escape(part);
    })
    .join("");
}

self.onmessage = function (event) {
  var message = event.data;
  if (message.type === SETUP) {
    setUp(message.data.docs);
    self.postMessage({ type: READY });
  } else if (message.type === QUERY) {
    self.postMessage({ type: RESULT, data: { items: answer(message.data) } });
  }
};
