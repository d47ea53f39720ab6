// Nothing typed is lost: it is kept on the server while somebody types, offered again, and its
// page warns before it is left. Nothing is put into the browser's own store.
const place = document.getElementById("unfinished");
const form = document.querySelector("form[data-unfinished]");
const KEEP_AFTER_MS = 1500, AGAIN_AFTER_MS = 10000;
// A form that came back holds what was typed, and shows none of it as changed.
const cameBack = !!place && "cameBack" in place.dataset;
let held = place?.dataset.held ? JSON.parse(place.dataset.held) : {};
let timer = 0, asked = false, sure = false, leaving = false;
// Whether what is kept next is made from the page as it is, whatever was kept before.
let anew = false;
let sent = Promise.resolve(true);

if (place && form) {
  const page = document.createElement("input");
  Object.assign(page, { type: "hidden", name: "kept_page", value: place.dataset.page });
  form.append(page);
  form.addEventListener("input", later);
  form.addEventListener("change", later);
  form.addEventListener("submit", reachFirst);
  addEventListener("pageshow", () => {
    sure = leaving = false;
    delete form.dataset.asking;
  });
  addEventListener("beforeunload", (event) => {
    if (!leaving && isChanged()) event.preventDefault();
  });
  document.addEventListener("visibilitychange", () => { if (document.hidden && timer) keep(true); });
  if (cameBack) later();
  offer();
}

function controls(name) {
  return [...form.elements].filter((one) => one.name && (!name || one.name === name) &&
    !["hidden", "submit", "button", "file", "password", "fieldset"].includes(one.type));
}

function values(name, began) {
  const found = [];
  for (const one of controls(name)) {
    if (one.type === "checkbox" || one.type === "radio") {
      if (began ? one.defaultChecked : one.checked) found.push(one.value);
    } else if (one.options) {
      const chosen = [...one.options].filter((o) => (began ? o.defaultSelected : o.selected));
      found.push(...chosen.map((o) => o.value));
      // A list that says nothing of it begins with its first choice.
      if (began && !chosen.length && one.type === "select-one" && one.options.length) found.push(one.options[0].value);
    } else found.push(began ? one.defaultValue : one.value);
  }
  return found;
}

function same(one, other) {
  return one.length === other.length && one.every((text, at) => text === other[at]);
}

// What was typed: by its name each field that holds something else than when the page came.
function typed() {
  const found = {};
  for (const name of new Set(controls().map((one) => one.name))) {
    const was = values(name, true), now = values(name, false);
    if (!same(was, now)) found[name] = { was, now };
    else if (cameBack && now.some((text) => text)) found[name] = { was: [], now };
  }
  return found;
}

function isChanged() {
  return cameBack || Object.keys(typed()).length > 0;
}

function later() {
  clearTimeout(timer);
  timer = setTimeout(keep, KEEP_AFTER_MS);
}

function say(words) {
  place.querySelector(".unfinished-said").textContent = words;
}

function post(address, fields) {
  const body = new FormData();
  for (const name of ["csrfmiddlewaretoken", "patient"]) body.set(name, form.elements[name].value);
  body.set("page", place.dataset.page);
  for (const [name, text] of Object.entries(fields)) body.set(name, text);
  // Named as what follows typing: kept as one look in a quarter of an hour.
  return fetch(address, { method: "POST", body, keepalive: true, headers: { "HX-Request": "true" } });
}

// Return whether the server was reached, whatever it said. One after the other: of two on their
// way at once the older could come last, and stay. A page that is being hidden cannot wait.
function keep(atOnce = false) {
  clearTimeout(timer);
  timer = 0;
  sent = atOnce ? send() : sent.then(send);
  return sent;
}

async function send() {
  // What was kept before and is not put back yet stays beside what is typed now.
  const all = { ...held, ...typed() };
  const fields = { title: place.dataset.title, made_from: place.dataset.madeFrom, typed: JSON.stringify(all) };
  if (anew) fields.anew = "yes";
  try {
    if (!Object.keys(all).length) {
      if (anew) await post(place.dataset.drop, {});
      anew = false;
      return true;
    }
    const answer = await post(place.dataset.keep, fields);
    if (answer.ok) anew = false;
    const at = new Date().toTimeString().slice(0, 5);
    if (answer.ok) say(`Not saved yet. Kept for you at ${at}.`);
    else say(answer.status === 401 ? "You are signed out: what you type now is not kept. Save, and follow the page that comes." : "Not saved yet, and it could not be kept.");
    return true;
  } catch {
    say("The server cannot be reached: not kept yet. What you typed stays here; it is tried again.");
    timer = setTimeout(keep, AGAIN_AFTER_MS);
    return false;
  }
}

// A save that no server hears would take the page away with what was typed: ask for it first.
async function reachFirst(event) {
  if (sure || !isChanged()) {
    leaving = true;
    return;
  }
  event.preventDefault();
  event.stopPropagation();
  if (asked) return;
  asked = true;
  form.dataset.asking = "yes";
  const button = event.submitter, reached = await keep();
  asked = false;
  if (!reached) {
    delete form.dataset.asking;
    return say("Not saved: the server cannot be reached. What you typed stays here. Save again in a moment.");
  }
  sure = true;
  form.requestSubmit(button);
}

// --- What was kept before, offered again ----------------------------------------------------

function offer() {
  const button = place.querySelector("[data-put-back]");
  if (!button) return;
  const open = Object.keys(held).filter((name) => !same(held[name].now, values(name, false)));
  if (!open.length) {
    // It was saved after all, or somebody typed the same.
    place.querySelector("section").remove();
    held = {};
    post(place.dataset.drop, {}).catch(() => {});
    return;
  }
  for (const row of place.querySelectorAll("tr[data-field]")) ask(row, row.dataset.field);
  button.hidden = false;
  button.addEventListener("click", putBack);
}

// Where the field holds something else than then, somebody changed it since: that is asked.
function ask(row, name) {
  const now = values(name, false), clash = !same(now, held[name].was) && !same(now, held[name].now);
  if (!controls(name).length) row.lastElementChild.append(" (has no place on this page now)");
  if (!clash || !controls(name).length) return;
  const label = document.createElement("label"), box = document.createElement("input");
  box.type = "checkbox";
  box.dataset.takeMine = name;
  label.className = "choice";
  label.append(box, ` Now: ${now.filter((text) => text).join(", ") || "–"}. Put mine in its place`);
  row.lastElementChild.append(document.createElement("br"), label);
}

function putBack() {
  for (const name of Object.keys(held)) {
    const box = place.querySelector(`[data-take-mine="${CSS.escape(name)}"]`);
    if (!box || box.checked) fill(name, held[name].now);
  }
  held = {};
  place.querySelector("section").remove();
  form.dispatchEvent(new Event("input", { bubbles: true }));
  say("Put back, and not saved yet.");
  controls()[0]?.focus();
  // In one request with what was kept before: between two, a crash would lose both.
  anew = true;
  keep();
}

function fill(name, wanted) {
  const left = [...wanted];
  for (const one of controls(name)) {
    if (one.type === "checkbox" || one.type === "radio") one.checked = wanted.includes(one.value);
    else if (one.type === "select-multiple") for (const o of one.options) o.selected = wanted.includes(o.value);
    else one.value = left.shift() ?? "";
    one.closest("details")?.setAttribute("open", "");
  }
}
