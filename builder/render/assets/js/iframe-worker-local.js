// From a disk (file:) a page may not start a worker from a file, nor fetch one. It may start one from a text
// that it holds. So search's worker comes as a script that hands over the worker's text, loaded on first use.
// The name tells the theme's offline plugin that a shim is present, so that it adds none from outside.
(function () {
  "use strict";
  if (location.protocol !== "file:" || !window.Worker) {
    return;
  }

  var NativeWorker = window.Worker;
  var TEXT = new URL("../search-worker.js", document.currentScript.src).href;
  // The index arrives as one text (see search_index in shell.py): taking it apart is work for the worker.
  var UNPACK =
    "self.addEventListener('message',function(e){var d=e.data&&e.data.data;" +
    "if(d&&typeof d.docs==='string')d.docs=JSON.parse(d.docs)});\n";
  var waiting = [];
  var text = null;

  window.Gaugeleaf = window.Gaugeleaf || {};
  window.Gaugeleaf.searchWorker = function (given) {
    text = UNPACK + given;
    waiting.splice(0).forEach(function (start) {
      start(text);
    });
  };

  function whenTextIsHere(start) {
    if (text !== null) {
      start(text);
      return;
    }
    waiting.push(start);
    if (waiting.length === 1) {
      var script = document.createElement("script");
      script.src = TEXT;
      document.head.appendChild(script);
    }
  }

  class LocalWorker extends EventTarget {
    constructor(url, options) {
      super();
      if (/^(blob|data):/.test(String(url))) {
        return new NativeWorker(url, options);
      }
      this.native = null;
      this.kept = [];
      this.asked = false;
    }

    postMessage(message) {
      if (this.native) {
        this.native.postMessage(message);
        return;
      }
      this.kept.push(message);
      if (!this.asked) {
        this.asked = true;
        whenTextIsHere(this.start.bind(this));
      }
    }

    start(source) {
      var worker = this;
      var url = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
      this.native = new NativeWorker(url);
      this.native.addEventListener("message", function (event) {
        worker.dispatchEvent(new MessageEvent("message", { data: event.data }));
      });
      this.kept.splice(0).forEach(function (message) {
        worker.native.postMessage(message);
      });
    }

    terminate() {
      if (this.native) {
        this.native.terminate();
      }
    }
  }

  window.Worker = LocalWorker;
})();
