// The first consult by keyboard: one key a question, then on to the next. Without this script it
// is a plain form: Tab and the arrow keys answer it.
"use strict";

const asked = document.querySelector("form[data-one-key]");
const CONTROLS = "input:not([type=hidden]), select";

if (asked) {
  asked.addEventListener("keydown", pressed);
  // A summary of what is wrong takes the focus before any question.
  if (!document.querySelector(".error-summary")) stops()[0]?.focus({ preventScroll: true });
}

function pressed(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const at = event.target, key = event.key.toLowerCase();
  if (at.type === "radio") radio(event, at, key);
  else if (at.dataset.key && key === at.dataset.key) tick(event, at);
  else if (at.type === "checkbox" && at.closest("[data-boxes]")) box(event, at, key);
}

function radio(event, at, key) {
  const group = [...asked.querySelectorAll(`input[type=radio][name="${at.name}"]`)];
  const meant = group.find((one) => one.dataset.key === (key === "backspace" ? "-" : key));
  if (!meant) return;
  put(event, meant, true);
  next(meant);
}

function tick(event, at) {
  put(event, at, true);
  next(at);
}

// A group of boxes: a figure ticks the box of that place, Enter goes on.
function box(event, at, key) {
  const boxes = [...at.closest("[data-boxes]").querySelectorAll("input")];
  if (key === "enter") {
    event.preventDefault();
    next(boxes[boxes.length - 1]);
  }
  const meant = boxes[Number(key) - 1];
  if (meant) put(event, meant, !meant.checked);
}

function put(event, one, checked) {
  event.preventDefault();
  if (one.checked === checked) return;
  one.checked = checked;
  one.dispatchEvent(new Event("change", { bubbles: true }));
}

// Where the keyboard stops: each text, each group once, and of a list only the box at its head.
function stops() {
  const seen = new Set(), found = [];
  for (const one of asked.querySelectorAll(CONTROLS)) {
    if (one.closest(".names label") || !one.getClientRects().length) continue;
    const boxes = one.closest("[data-boxes]");
    const group = boxes || (one.type === "radio" ? one.name : one);
    if (seen.has(group)) continue;
    seen.add(group);
    found.push(one);
  }
  return found;
}

function next(from) {
  const group = from.closest("fieldset") || from;
  const after = stops().find((one) => !group.contains(one) &&
    group.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING);
  if (!after) return document.querySelector("button[form=asked]")?.focus();
  const chosen = after.type === "radio" && asked.querySelector(`input[name="${after.name}"]:checked`);
  (chosen || after).focus();
}

// What is shown no longer belongs to what is typed.
for (const failure of ["htmx:responseError", "htmx:sendError"]) {
  document.addEventListener(failure, (event) => {
    if (event.detail.target?.id !== "beside") return;
    event.detail.target.textContent =
      "What follows could not be shown just now. “Show what follows” tries again.";
  });
}
