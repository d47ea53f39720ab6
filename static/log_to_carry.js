// The log to carry away. What is asked stands in the file; nothing is sent anywhere.
"use strict";

const told = JSON.parse(document.getElementById("told").textContent);
const KEPT = `calcar-log-${told.file}`;
const form = document.getElementById("day");
const ONE_OF_FEW = 4;
let days = {};
let at = 0;

const keeps = recall();
document.getElementById("keeps").textContent = keeps ? told.says.keeps : told.says.keepsNot;
at = today();
show();

document.getElementById("before").addEventListener("click", () => move(-1));
document.getElementById("after").addEventListener("click", () => move(1));
document.getElementById("save").addEventListener("click", save);
document.getElementById("file").addEventListener("change", reopen);
form.addEventListener("change", keep);
form.addEventListener("submit", (event) => event.preventDefault());

// True where this device keeps what is filled in.
function recall() {
  try {
    const kept = localStorage.getItem(KEPT);
    if (kept) days = JSON.parse(kept);
    localStorage.setItem(KEPT, JSON.stringify(days));
    return true;
  } catch {
    return false;
  }
}

// The day on her own calendar, as text: no clock of another zone moves it.
function today() {
  const now = new Date();
  const on = [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((n) => String(n).padStart(2, "0")).join("-");
  const next = told.days.findIndex((day) => day.on >= on);
  return next < 0 ? told.days.length - 1 : next;
}

function move(by) {
  keep();
  at = Math.min(Math.max(at + by, 0), told.days.length - 1);
  show();
  document.getElementById("title").focus();
}

function show() {
  const day = told.days[at];
  document.getElementById("title").textContent = `${day.title} · ${told.says.week} ${day.week}`;
  document.getElementById("before").disabled = at === 0;
  document.getElementById("after").disabled = at === told.days.length - 1;
  const order = [...day.kinds, ...Object.keys(told.kinds).filter((kind) => !day.kinds.includes(kind))];
  form.replaceChildren(...asPlanned(day), ...order.map((kind) => ofKind(day, kind)), group(told.says.day, told.columns.filter((one) => !one.kind)));
  say();
}

function asPlanned(day) {
  if (!day.kinds.length) return [];
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = told.says.asPlanned;
  button.addEventListener("click", () => {
    const done = Object.fromEntries(day.kinds.map((kind) => [`${kind}.done`, "A"]));
    days[day.on] = { ...days[day.on], ...done };
    show();
    keep();
  });
  return [button];
}

function ofKind(day, kind) {
  const columns = told.columns.filter((one) => one.kind === kind && (!one.lift || day.lifts.includes(one.lift)));
  if (day.kinds.includes(kind)) return group(`${told.kinds[kind]}. ${told.says.planned}`, columns);
  const more = document.createElement("details");
  const head = document.createElement("summary");
  head.textContent = `${told.kinds[kind]}. ${told.says.other}`;
  more.append(head, group(told.kinds[kind], columns));
  more.open = columns.some((one) => value(one));
  return more;
}

function group(title, columns) {
  const box = document.createElement("fieldset");
  const legend = document.createElement("legend");
  legend.textContent = title;
  box.append(legend, ...columns.map(ask));
  return box;
}

function value(column) { return (days[told.days[at].on] || {})[column.name] || ""; }

function ask(column) {
  const box = document.createElement("div");
  box.className = "ask";
  const name = column.lift ? `${told.lifts[column.lift]}: ${column.asked}` : column.asked;
  const words = column.unit ? `${name} (${column.unit})` : name;
  if (!column.options.length) box.append(...line(column, words));
  else if (column.several || column.options.length <= ONE_OF_FEW) box.append(...boxes(column, words));
  else box.append(...list(column, words));
  return box;
}

function labelled(words, field) {
  const label = document.createElement("label");
  label.textContent = words;
  label.htmlFor = field.id;
  return [label, field];
}

function line(column, words) {
  const field = document.createElement("input");
  Object.assign(field, { type: "text", id: column.name, name: column.name, value: value(column), maxLength: 200 });
  if (column.unit) field.inputMode = "decimal";
  return labelled(words, field);
}

function list(column, words) {
  const field = document.createElement("select");
  Object.assign(field, { id: column.name, name: column.name });
  for (const [key, text] of [["", "–"], ...column.options]) field.append(new Option(text, key, false, key === value(column)));
  return labelled(words, field);
}

function boxes(column, words) {
  const head = document.createElement("span");
  head.textContent = words;
  head.id = `${column.name}_words`;
  const row = document.createElement("div");
  row.className = "options";
  row.setAttribute("role", "group");
  row.setAttribute("aria-labelledby", head.id);
  for (const [key, text] of column.options) {
    const label = document.createElement("label");
    const box = document.createElement("input");
    const ticked = column.several ? value(column).includes(key) : value(column) === key;
    Object.assign(box, { type: "checkbox", name: column.name, value: key, checked: ticked });
    if (!column.several) box.addEventListener("change", () => only(row, box));
    label.append(box, ` ${text}`);
    row.append(label);
  }
  return [head, row];
}

// A box can be unticked again: what is open stays open.
function only(row, box) {
  for (const one of row.querySelectorAll("input")) if (one !== box) one.checked = false;
}

function keep() {
  const held = {};
  for (const field of form.elements) {
    if (!field.name || (field.type === "checkbox" && !field.checked)) continue;
    const text = field.value.trim();
    if (text) held[field.name] = (held[field.name] || "") + text;
  }
  const on = told.days[at].on;
  if (Object.keys(held).length) days[on] = held;
  else delete days[on];
  try {
    if (keeps) localStorage.setItem(KEPT, JSON.stringify(days));
  } catch {
    document.getElementById("keeps").textContent = told.says.keepsNot;
  }
  say(told.says.unsaved);
}

function say(text = "") {
  document.getElementById("state").textContent = text;
  document.getElementById("text").value = document_();
}

function document_() {
  return JSON.stringify({ format: told.format, file: told.file, patient: told.patient, days }, null, 1);
}

function save() {
  keep();
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([document_()], { type: "application/json" }));
  link.download = `log-${told.days[at].on}.json`;
  link.click();
  URL.revokeObjectURL(link.href);
  say(told.says.saved);
}

async function reopen(event) {
  const [file] = event.target.files;
  if (!file) return;
  try {
    const found = JSON.parse(await file.text());
    if (found.format !== told.format || found.file !== told.file) throw new Error("another log");
    days = { ...days, ...found.days };
    show();
    keep();
  } catch {
    say(told.says.notThis);
  }
}
