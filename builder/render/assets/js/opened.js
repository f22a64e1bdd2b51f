// Opens what the browser keeps for its pages, and not before the browser has finished opening the page.
//
// A page from a disk that asks for its storage too early finds it empty in Chromium, and what it writes there until
// it is closed goes nowhere. An answer that only the browser can give shows that the page is open; it takes a few
// milliseconds. `tests/bench/storage_reloads.py` counts both.
(function () {
  "use strict";
  var Gaugeleaf = (globalThis.Gaugeleaf = globalThis.Gaugeleaf || {});
  var PATIENCE = 2000; // milliseconds, for a browser that never answers
  var isServed = /^https?:$/.test(location.protocol);

  function kept() {
    try {
      return globalThis.localStorage || null;
    } catch (refused) {
      return null; // switched off, or a frame without an origin
    }
  }

  function answered() {
    var late = new Promise(function (done) {
      setTimeout(done, PATIENCE);
    });
    var answer = navigator.locks.query().catch(function () {
      // a refusal is an answer too
    });
    return Promise.race([answer, late]);
  }

  var open = isServed || !navigator.locks ? null : answered();

  /** Call `start` with the browser's storage, or with null where there is none. */
  Gaugeleaf.whenOpened = function (start) {
    if (open) {
      open.then(function () {
        start(kept());
      });
    } else {
      start(kept());
    }
  };
})();
