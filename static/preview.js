// A part of a page that follows what is typed in a form: what the answer cannot do by itself.
"use strict";

// The fields themselves are never replaced, so that what is typed and the focus stay.
document.addEventListener("htmx:afterSettle", () => {
  for (const said of document.querySelectorAll(".said[data-of]")) {
    const field = document.getElementById(said.dataset.of);
    if (!field) continue;
    const wrong = said.textContent.trim() !== "";
    field.classList.toggle("is-invalid", wrong);
    if (wrong) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }
});

// What is shown no longer belongs to what is typed.
for (const failure of ["htmx:responseError", "htmx:sendError"]) {
  document.addEventListener(failure, (event) => {
    const told = document.getElementById("told");
    if (!told || event.detail.target.id !== "preview") return;
    told.textContent = told.dataset.failed;
    event.detail.target.replaceChildren();
  });
}
