// Only improves things: every page works the same without it.
"use strict";

// A menu closes when something else is tapped, and with Escape.
document.addEventListener("click", (event) => {
  for (const menu of document.querySelectorAll("details.menu[open]")) {
    if (!menu.contains(event.target)) menu.open = false;
  }
});
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  for (const menu of document.querySelectorAll("details.menu[open]")) {
    menu.open = false;
    menu.querySelector("summary").focus();
  }
});

// A link to something folded away opens it first: "how reckoned", the weeks of a chart.
function unfold() {
  let id;
  try {
    id = decodeURIComponent(location.hash.slice(1));
  } catch {
    return;
  }
  const place = id && document.getElementById(id);
  const folded = place && place.closest("details");
  if (folded && !folded.open) {
    folded.open = true;
    place.scrollIntoView();
  }
}
addEventListener("hashchange", unfold);
unfold();

// A form is sent once, however often a thumb hits the button.
document.addEventListener("submit", (event) => {
  if (event.target.dataset.sent) {
    event.preventDefault();
    return;
  }
  event.target.dataset.sent = "yes";
});
addEventListener("pageshow", () => {
  for (const form of document.forms) delete form.dataset.sent;
});

// The first field that was not understood takes the cursor.
const wrong = document.querySelector("[aria-invalid]");
if (wrong) wrong.focus();

// Paper cannot be unfolded: what is folded on the page is printed open.
const folded = "main details:not([open], .menu, .on-screen, .cost)";
addEventListener("beforeprint", () => {
  for (const details of document.querySelectorAll(folded)) {
    details.open = true;
    details.dataset.printed = "yes";
  }
});
addEventListener("afterprint", () => {
  for (const details of document.querySelectorAll("details[data-printed]")) {
    details.open = false;
    delete details.dataset.printed;
  }
});
