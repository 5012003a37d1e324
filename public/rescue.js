// Works without the app: shows the rescue note and offers everything that is kept as a file.
// Plain script on purpose, since it must run when nothing else does.
"use strict";

(function () {
  var DATABASE = "rackweek";
  // What pictures show, by name; may not be there.
  var PICTURES = "rackweek-pictures";
  var note = document.getElementById("rescue");
  var reason = document.getElementById("rescue-reason");
  var button = document.getElementById("rescue-export");
  var reload = document.getElementById("rescue-reload");
  var answer = document.getElementById("rescue-answer");

  function show(why) {
    if (!note || !note.hidden) {
      return;
    }
    note.hidden = false;
    reason.textContent = why;
    document.documentElement.classList.add("broken");
    button.focus();
  }

  function pad(number) {
    return String(number).padStart(2, "0");
  }

  function wallClock(date) {
    return (
      date.getFullYear() + "-" + pad(date.getMonth() + 1) + "-" + pad(date.getDate()) +
      "T" + pad(date.getHours()) + ":" + pad(date.getMinutes())
    );
  }

  function all(store, method) {
    return new Promise(function (resolve, reject) {
      var request = store[method]();
      request.onsuccess = function () { resolve(request.result); };
      request.onerror = function () { reject(request.error); };
    });
  }

  // Opened as it is found: never made, never changed. Answers what `take` makes of its object stores.
  function opened(name, take) {
    return new Promise(function (resolve, reject) {
      var request = indexedDB.open(name);
      request.onupgradeneeded = function () { request.transaction.abort(); };
      request.onerror = function () { reject(new Error("there is no data on this device")); };
      request.onblocked = function () { reject(new Error("another window holds the data")); };
      request.onsuccess = function () {
        var database = request.result;
        var names = Array.from(database.objectStoreNames);
        var transaction = database.transaction(names, "readonly");
        take(function (store, method) {
          return names.includes(store) ? all(transaction.objectStore(store), method) : [];
        }).then(function (answer) { database.close(); resolve(answer); }, reject);
      };
    });
  }

  function read() {
    return opened(DATABASE, function (from) {
      return Promise.all([from("records", "getAll"), from("set-aside", "getAll")]);
    });
  }

  function readPictures() {
    return opened(PICTURES, function (from) {
      return Promise.all([from("records", "getAllKeys"), from("records", "getAll")]);
    }).then(
      function (lists) {
        var pictures = {};
        lists[0].forEach(function (name, at) { pictures[name] = lists[1][at]; });
        return pictures;
      },
      // Most people have none.
      function () { return {}; }
    );
  }

  // Each text is a record as a backup has it; what is no JSON is kept as it is, beside.
  function backup(texts, aside, pictures) {
    var records = [];
    var unread = aside.slice();
    texts.forEach(function (text) {
      try {
        records.push(JSON.parse(text));
      } catch (error) {
        unread.push(text);
      }
    });
    var now = new Date();
    var file = {
      format: "rackweek-backup/1",
      taken_at: wallClock(now),
      zone: {
        name: Intl.DateTimeFormat().resolvedOptions().timeZone,
        changes: [{ utc: Math.floor(now.getTime() / 60000), offset: -now.getTimezoneOffset() }],
      },
      records: records,
    };
    if (Object.keys(pictures).length > 0) {
      file.pictures = pictures;
    }
    if (unread.length > 0) {
      file.unread = unread;
    }
    return file;
  }

  function save(file) {
    var blob = new Blob([JSON.stringify(file, null, 2)], { type: "application/json" });
    var link = document.createElement("a");
    link.href = URL.createObjectURL(blob);
    link.download = "rackweek-rescue-" + file.taken_at.slice(0, 10) + ".json";
    link.click();
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 60000);
  }

  if (button) {
    button.addEventListener("click", function () {
      Promise.all([read(), readPictures()]).then(
        function (found) {
          var file = backup(found[0][0], found[0][1], found[1]);
          save(file);
          answer.textContent = "Exported " + file.records.length + " records";
        },
        function (error) { answer.textContent = "Nothing could be exported: " + error.message; }
      );
    });
    reload.addEventListener("click", function () { location.reload(); });
  }

  document.addEventListener("rackweek-broken", function (event) { show(String(event.detail)); });
  // A script that cannot be loaded or parsed reports here and nowhere else.
  window.addEventListener("error", function (event) {
    var target = event.target;
    if (target instanceof HTMLScriptElement) {
      show("Part of the app could not be loaded");
    } else if (event.error instanceof WebAssembly.RuntimeError) {
      show(event.message);
    }
  }, true);
})();
