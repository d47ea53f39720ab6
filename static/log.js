// The log's grid, typed from paper: one key a cell. Without this script it is a plain form.
"use strict";

const form = document.querySelector("form[data-log]");
const told = form && form.querySelector("[data-said]");
const first = form && form.querySelector("table[data-grid]");
const TEN = { "10": "X" };
const NONE = "N";

if (form) start();

function start() {
  for (const one of form.querySelectorAll("[data-live]")) one.hidden = false;
  for (const one of form.querySelectorAll("[data-as-planned]")) one.hidden = false;
  for (const one of form.querySelectorAll("[data-plain]")) one.hidden = true;
  form.addEventListener("keydown", pressed);
  form.addEventListener("paste", pasted);
  form.addEventListener("input", entered);
  form.addEventListener("click", (event) => {
    const button = event.target.closest("[data-as-planned]");
    if (button) asPlanned(button.dataset.asPlanned === "all" ? form : button.closest("tbody"));
  });
  form.addEventListener("focusin", (event) => {
    if (event.target.matches(".key")) event.target.select();
  });
  const wrong = document.querySelector(".error-summary");
  const empty = wanted(null);
  if (!wrong && empty) empty.focus({ preventScroll: true });
}

// A phone's keyboard tells no key, only what came of it.
function entered(event) {
  const cell = event.target, key = cell.value.slice(-1).toUpperCase();
  if (event.inputType !== "insertText" || !cell.matches(".key") || !key) return;
  if (!cell.dataset.keys.includes(key)) return;
  put(cell, key);
  next(cell);
}

function say(text) { told.textContent = text; }

function pressed(event) {
  if (event.ctrlKey && event.key === "Enter") {
    event.preventDefault();
    form.requestSubmit();
    return;
  }
  const cell = event.target.closest("table[data-grid] input");
  if (!cell || event.ctrlKey || event.metaKey || event.altKey) return;
  const moved = arrow(cell, event);
  if (moved || (cell.matches(".key") && typed(cell, event))) event.preventDefault();
}

// True where the key was one that moves.
function arrow(cell, event) {
  const key = event.key;
  if (key === "ArrowDown" || (key === "Enter" && !event.shiftKey)) return down(cell, 1, key);
  if (key === "ArrowUp" || key === "Enter") return down(cell, -1, key);
  if (!cell.matches(".key")) return false;
  if (key === "ArrowRight") return across(cell, 1);
  if (key === "ArrowLeft") return across(cell, -1);
  return false;
}

function typed(cell, event) {
  const key = event.key.toUpperCase();
  if (event.key === "Tab" || event.key.length > 1) return erased(cell, event.key);
  if (cell.dataset.keys.includes(key) && key !== " ") {
    put(cell, key);
    next(cell);
  } else if (key === " ") next(cell);
  else if (key === "D") { asPlanned(cell.closest("tr")); next(cell); }
  else if (key === "W") { asPlanned(cell.closest("tbody")); next(cell); }
  else if (key === "M") { asPlanned(form); next(cell); }
  else say(`${cell.getAttribute("aria-label")}: ${[...cell.dataset.keys].join(", ")}`);
  return true;
}

function erased(cell, key) {
  if (key !== "Backspace" && key !== "Delete") return false;
  if (key === "Backspace" && cell.value === "") across(cell, -1);
  else put(cell, "");
  return true;
}

function put(cell, value) {
  cell.value = value;
  cell.classList.remove("is-invalid");
  say("");
  // As if somebody had typed it: what is typed is kept.
  cell.dispatchEvent(new Event("change", { bubbles: true }));
}

// --- Moving ----------------------------------------------------------------------------------

function rows(cell) { return [...cell.closest("table").querySelectorAll("tbody tr")].filter((row) => inputs(row).length); }
function inputs(row) { return [...row.querySelectorAll("input:not([type=hidden]):not([type=checkbox])")]; }
function place(row, cell) { return inputs(row).indexOf(cell); }

function down(cell, by, key) {
  const all = rows(cell), row = cell.closest("tr"), at = place(row, cell);
  const there = all[all.indexOf(row) + by];
  if (there) inputs(there)[Math.min(at, inputs(there).length - 1)].focus();
  else if (key === "Enter" && by > 0) form.querySelector("[data-save]").focus();
  return true;
}

function across(cell, by) {
  const all = [...cell.closest("table").querySelectorAll("input.key")];
  const there = all[all.indexOf(cell) + by];
  if (there) there.focus();
  return true;
}

// On to the next cell that the paper has something for.
function next(cell) {
  const there = wanted(cell);
  if (there) there.focus();
  else form.querySelector("[data-save]").focus();
}

function wanted(cell) {
  const all = [...first.querySelectorAll("input.key")];
  if (cell && cell.closest("table") !== first) return all.length ? after(cell) : null;
  return all.slice(cell ? all.indexOf(cell) + 1 : 0).find(isWanted);
}

function after(cell) {
  const all = [...cell.closest("table").querySelectorAll("input")];
  return all[all.indexOf(cell) + 1];
}

function isWanted(cell) {
  if (cell.value !== "") return false;
  const row = cell.closest("tr");
  switch (cell.dataset.cell) {
    case "done": return "planned" in cell.dataset;
    case "effort": return trained(row, cell.dataset.kind);
    case "pain": return "planned" in cell.dataset ? true : inputs(row).some((one) => one.dataset.cell === "done" && one.value !== "" && one.value !== NONE);
    case "pain_settled": return hurt(row);
    case undefined: return [...row.closest("tbody").querySelectorAll("tr[data-day] input.key")].some((one) => one.value !== "");
    default: return false;
  }
}

function trained(row, kind) {
  const done = row.querySelector(`input[data-cell=done][data-kind=${kind}]`);
  return done.value !== "" && done.value.toUpperCase() !== NONE;
}

function hurt(row) {
  const pain = row.querySelector("input[data-cell=pain]").value.toUpperCase();
  return pain === "X" || Number(pain) > 3;
}

// --- As planned, and a pasted block ------------------------------------------------------------

function asPlanned(part) {
  const blank = [...part.querySelectorAll("input[data-cell=done][data-planned]:not([data-spare])")].filter((one) => one.value === "");
  for (const one of blank) put(one, "A");
  say(`${blank.length} filled as planned. Falls are asked once a week.`);
}

function pasted(event) {
  const cell = event.target.closest("table[data-grid] input");
  const text = event.clipboardData.getData("text/plain").replace(/\r/g, "").replace(/\n$/, "");
  if (!cell || !/[\t\n]/.test(text) && !cell.matches(".key")) return;
  event.preventDefault();
  const days = rows(cell).filter((row) => "day" in row.dataset || row === cell.closest("tr"));
  const top = days.indexOf(cell.closest("tr")), left = place(cell.closest("tr"), cell);
  let filled = 0, outside = 0;
  text.split("\n").forEach((line, down_) => line.split("\t").forEach((value, right) => {
    const row = days[top + down_], there = row && inputs(row)[left + right];
    if (there) { put(there, plain(there, value.trim())); filled += 1; } else if (value.trim()) outside += 1;
  }));
  say(`${filled} pasted${outside ? `, ${outside} did not fit` : ""}. Look them over before you log them.`);
}

function plain(cell, value) {
  return cell.matches(".key") ? TEN[value] || value.toUpperCase() : value;
}
