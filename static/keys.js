// Keys of the pages: the steps, saving, and the list of them. Off while somebody types, and left
// out of the page for whoever turned them off (WCAG 2.2, 2.1.4).
const list = document.getElementById("keys-dialog");
const FIELD = "input, select, textarea, [contenteditable]";
// A field can lose the focus under somebody's hands, as where a page is still loading.
const STILL_TYPING_MS = 1000;
let typedAt = -STILL_TYPING_MS;

list.querySelector("button").addEventListener("click", () => list.close());
document.addEventListener("keydown", (event) => {
  if (event.defaultPrevented || event.isComposing) return;
  const field = event.target.closest?.(FIELD);
  if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) return save(event, field?.form);
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (field) {
    if (event.key.length === 1) typedAt = event.timeStamp;
    if (event.key === "Escape") leave(field);
    return;
  }
  if (list.open || event.timeStamp - typedAt < STILL_TYPING_MS) return;
  if (event.key === "?") show(event);
  else if (event.key === "s") save(event, document.querySelector("form[data-unfinished]"));
  else if (/^[1-7]$/.test(event.key)) step(event, Number(event.key));
});

function leave(field) {
  typedAt = -STILL_TYPING_MS;
  field.blur();
}

function show(event) {
  event.preventDefault();
  list.showModal();
}

// Only a form that is filled in here is saved so: none that signs, drafts or throws away.
function save(event, form) {
  if (!form || !("unfinished" in form.dataset)) return;
  event.preventDefault();
  form.requestSubmit();
}

function step(event, number) {
  const link = document.querySelectorAll(".steps li")[number - 1]?.querySelector("a");
  if (!link) return;
  event.preventDefault();
  link.click();
}
