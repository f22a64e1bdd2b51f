// Chooses day or night as soon as the browser says what was chosen last, and keeps the choice for the next page.
// Also holds the three small functions that the theme's bundle expects to find.
(function () {
  "use strict";
  var Gaugeleaf = globalThis.Gaugeleaf;
  var KEY = "gaugeleaf.shade";
  var root = document.documentElement;

  var store = null;

  function keep(shade) {
    try {
      store.setItem(KEY, shade);
    } catch (refused) {
      // full, or none: then the choice lasts for this page only
    }
  }

  function isNight() {
    var shade = root.getAttribute("data-gl-shade");
    return shade ? shade === "night" : matchMedia("(prefers-color-scheme: dark)").matches;
  }

  function show(shade) {
    if (shade === "day" || shade === "night") {
      root.setAttribute("data-gl-shade", shade);
    }
  }

  function label() {
    document.querySelectorAll("[data-gl-shade-word]").forEach(function (word) {
      word.textContent = isNight() ? "Light" : "Dark";
    });
  }

  function turn() {
    var shade = isNight() ? "day" : "night";
    show(shade);
    keep(shade);
    label();
  }

  function openSearch() {
    var input = document.querySelector(".gl-search-input");
    input.focus();
    input.select();
  }

  Gaugeleaf.whenOpened(function (kept) {
    store = kept;
    show(kept && kept.getItem(KEY));
    label();
  });
  document.addEventListener("DOMContentLoaded", function () {
    label();
    document.querySelectorAll("[data-gl-turn]").forEach(function (button) {
      button.addEventListener("click", turn);
    });
    document.querySelectorAll("[data-gl-search]").forEach(function (button) {
      button.addEventListener("click", openSearch);
    });
  });

  window.__md_get = function (name, place) {
    var from = place || store;
    return from && JSON.parse(from.getItem("gaugeleaf." + name));
  };
  window.__md_set = function (name, value, place) {
    var into = place || store;
    if (into) into.setItem("gaugeleaf." + name, JSON.stringify(value));
  };
  window.__md_hash = function (text) {
    return Array.from(text).reduce(function (sum, letter) {
      return (sum << 5) - sum + letter.charCodeAt(0);
    }, 0);
  };
})();
