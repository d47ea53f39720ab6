// Every page works without this script; it only takes some slips away.
"use strict";

// Scrolling the page must not change the number field that happens to have the focus.
document.addEventListener("wheel", (event) => {
  const field = document.activeElement;
  if (field && field.type === "number" && event.target === field) field.blur();
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

// Two minutes before an idle session ends, say so and offer to stay.
const WARN_BEFORE_S = 120;
const idle = Number(document.body.dataset.idleS);
const notice = document.getElementById("idle-notice");
let lastRequest = Date.now();
document.addEventListener("htmx:afterRequest", (event) => {
  const status = event.detail.xhr.status;
  if (status === 401) lastRequest = 0;
  else if (status) lastRequest = Date.now();
  if (idle && notice) tell();
});

if (idle && notice) setInterval(tell, 5000);

function tell() {
  const leftS = idle - (Date.now() - lastRequest) / 1000;
  if (leftS > WARN_BEFORE_S) notice.replaceChildren();
  else if (leftS <= 0) notice.textContent = "You are signed out. What is typed here can still be kept: send the form and follow the page that comes.";
  else if (!notice.firstChild) notice.append("You will soon be signed out. ", stayButton());
}

function stayButton() {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "btn btn-primary";
  button.textContent = "Stay signed in";
  button.addEventListener("click", async () => {
    const answer = await fetch(notice.dataset.stay, { redirect: "error" });
    if (!answer.ok) return;
    lastRequest = Date.now();
    notice.replaceChildren();
  });
  return button;
}
