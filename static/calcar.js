// Every page works without this script; it only takes some slips away.
"use strict";

// What is wrong is read first, wherever it stands on the page; the mark autofocus does the same.
addEventListener("load", () => document.querySelector(".error-summary")?.focus());

// Scrolling the page must not change the number field that happens to have the focus.
document.addEventListener("wheel", (event) => {
  const field = document.activeElement;
  if (field && field.type === "number" && event.target === field) field.blur();
});

// How a date was read holds for what stood there, not for what is typed over it.
document.addEventListener("input", ({ target }) => {
  for (const read of document.querySelectorAll(".read-as")) {
    if (read.parentElement.contains(target)) read.hidden = target.value !== target.defaultValue;
  }
});

// A second click on a button that is already sending does nothing.
// The attribute data-repeatable on a form leaves its buttons alone (downloads).
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (event.defaultPrevented || form.method !== "post" || "repeatable" in form.dataset) return;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  form.dataset.sent = "yes";
  // After this turn: a disabled button would not send its own name and value.
  setTimeout(() => setButtons(form, true));
});

// The page may come back from the browser's store, by the Back button.
window.addEventListener("pageshow", () => {
  for (const form of document.forms) {
    delete form.dataset.sent;
    setButtons(form, false);
  }
});

function setButtons(form, sending) {
  for (const button of form.elements) {
    if (button.type !== "submit") continue;
    if (sending && !button.disabled) button.dataset.sending = "yes";
    if (sending || button.dataset.sending) button.disabled = sending;
    if (!sending) delete button.dataset.sending;
  }
  const told = form.querySelector("[data-while-sending]");
  if (told) told.textContent = sending ? told.dataset.whileSending : "";
}

// Two minutes before the session ends, say so and offer to stay. Other tabs share the session and
// may keep it alive, so that this one asks the server how long is left before it says anything.
const WARN_BEFORE_S = 120;
const notice = document.getElementById("idle-notice");
let endsAt = Date.now() + Number(document.body.dataset.idleS) * 1000;
let asking = false;

document.addEventListener("htmx:afterRequest", (event) => {
  if (event.detail.xhr.status && notice) ask();
});
// A tab that slept, or was in the background, asks as soon as it is looked at.
document.addEventListener("visibilitychange", () => { if (!document.hidden && notice) look(); });
if (notice) setInterval(look, 5000);

function look() {
  if (leftS() <= WARN_BEFORE_S) ask();
}

function leftS() {
  return (endsAt - Date.now()) / 1000;
}

async function ask() {
  if (asking) return;
  asking = true;
  try {
    const answer = await fetch(notice.dataset.timeLeft, { redirect: "error" });
    if (!answer.ok) return;
    endsAt = Date.now() + (await answer.json()).left_s * 1000;
    tell();
  } catch {
    // Not reached: nothing is known, so that nothing is said; it asks again.
  } finally {
    asking = false;
  }
}

function tell() {
  const left = leftS();
  const state = left > WARN_BEFORE_S ? "" : left > 0 ? "soon" : "out";
  if (notice.dataset.told === state) return;
  notice.dataset.told = state;
  notice.replaceChildren();
  if (state === "out") notice.textContent = "You are signed out. What is typed here can still be kept: send the form and follow the page that comes.";
  if (state === "soon") notice.append("You will soon be signed out. ", stayButton());
}

function stayButton() {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "btn btn-primary";
  button.textContent = "Stay signed in";
  button.addEventListener("click", async () => {
    const answer = await fetch(notice.dataset.stay, { redirect: "error" });
    if (answer.ok) ask();
  });
  return button;
}
