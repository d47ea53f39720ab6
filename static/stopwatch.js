// A stopwatch beside each field marked data-stopwatch; the attribute says with how many decimals.
// Without this script the field is typed into as ever.
"use strict";

const spoken = document.createElement("p");
spoken.className = "visually-hidden";
spoken.setAttribute("aria-live", "polite");

const fields = document.querySelectorAll("input[data-stopwatch]");
if (fields.length) document.querySelector("main").append(spoken);
for (const field of fields) addStopwatch(field);

function addStopwatch(field) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "btn btn-outline-primary stopwatch";
  const about = field.labels[0] ? field.labels[0].textContent.trim() : "";
  let began = null;
  let ticking = 0;

  function show() {
    const word = began ? `Stop ${(elapsedMs(began) / 1000).toFixed(1)} s` : "Start";
    const rest = document.createElement("span");
    rest.className = "visually-hidden";
    rest.textContent = ` the stopwatch: ${about}`;
    button.replaceChildren(word, rest);
  }

  function start() {
    began = { tick: performance.now(), clock: Date.now() };
    ticking = setInterval(show, 100);
    spoken.textContent = `${about}: running.`;
  }

  function stop() {
    field.value = (elapsedMs(began) / 1000).toFixed(Number(field.dataset.stopwatch));
    began = null;
    clearInterval(ticking);
    field.dispatchEvent(new Event("input", { bubbles: true }));
    spoken.textContent = `${about}: ${field.value} seconds.`;
  }

  button.addEventListener("click", () => {
    if (began) stop();
    else start();
    show();
  });
  show();
  (field.closest(".with-unit") || field.parentElement).append(button);
}

// The finer count stands still on a machine that sleeps with its screen locked; the clock goes on.
function elapsedMs(began) {
  const byTick = performance.now() - began.tick;
  const byClock = Date.now() - began.clock;
  return byClock - byTick > 500 ? byClock : byTick;
}
