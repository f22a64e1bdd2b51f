// Starts search's worker. From a disk (file:) a page may start no worker from a file, nor fetch one, but it may
// start one from a text that it holds: so the worker comes as a script that hands over its text, on first use.
// A shop's server gets the same worker the same way.
(function () {
  "use strict";
  var NativeWorker = window.Worker;
  if (!NativeWorker) {
    return;
  }

  var waiting = [];
  var text = null;

  window.Gaugeleaf = window.Gaugeleaf || {};
  window.Gaugeleaf.searchWorker = function (given) {
    text = given;
    waiting.splice(0).forEach(function (start) {
      start(text);
    });
  };

  function whenTextIsHere(url, start) {
    if (text !== null) {
      start(text);
      return;
    }
    waiting.push(start);
    if (waiting.length === 1) {
      var script = document.createElement("script");
      script.src = url;
      document.head.appendChild(script);
    }
  }

  class LocalWorker extends EventTarget {
    constructor(url, options) {
      super();
      if (!/\/search-worker\.js$/.test(String(url))) {
        return new NativeWorker(url, options);
      }
      this.url = new URL(url, document.baseURI).href;
      this.worker = null;
      this.kept = [];
      this.asked = false;
    }

    postMessage(message) {
      if (this.worker) {
        this.worker.postMessage(message);
        return;
      }
      this.kept.push(message);
      if (!this.asked) {
        this.asked = true;
        whenTextIsHere(this.url, this.start.bind(this));
      }
    }

    start(source) {
      var self = this;
      var url = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
      this.worker = new NativeWorker(url);
      this.worker.addEventListener("message", function (event) {
        self.dispatchEvent(new MessageEvent("message", { data: event.data }));
      });
      this.kept.splice(0).forEach(function (message) {
        self.worker.postMessage(message);
      });
    }

    terminate() {
      if (this.worker) {
        this.worker.terminate();
      }
    }
  }

  window.Worker = LocalWorker;
})();
