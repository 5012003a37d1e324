// Works without the app: shows the rescue note and offers everything that is kept as a file.
// Plain script on purpose, since it must run when nothing else does.
"use strict";

(function () {
  var DATABASE = "rackweek";
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

  function all(store) {
    return new Promise(function (resolve, reject) {
      var request = store.getAll();
      request.onsuccess = function () { resolve(request.result); };
      request.onerror = function () { reject(request.error); };
    });
  }

  // Opened as it is found: never made, never changed.
  function read() {
    return new Promise(function (resolve, reject) {
      var request = indexedDB.open(DATABASE);
      request.onupgradeneeded = function () { request.transaction.abort(); };
      request.onerror = function () { reject(new Error("there is no data on this device")); };
      request.onblocked = function () { reject(new Error("another window holds the data")); };
      request.onsuccess = function () {
        var database = request.result;
        var names = Array.from(database.objectStoreNames);
        var transaction = database.transaction(names, "readonly");
        Promise.all(
          ["records", "set-aside"].map(function (name) {
            return names.includes(name) ? all(transaction.objectStore(name)) : [];
          })
        ).then(function (lists) { database.close(); resolve(lists); }, reject);
      };
    });
  }

  // Each text is a record as a backup has it; what is no JSON is kept as it is, beside.
  function backup(texts, aside) {
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
      read().then(
        function (lists) {
          var file = backup(lists[0], lists[1]);
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
