// Small comforts; every page works without them.
"use strict";

// A balloon in the drawing, or a link to a problem, opens the part it points at.
function openPart(id) {
  const part = document.getElementById(id)?.closest("details");
  for (let box = part; box; box = box.parentElement?.closest("details")) box.open = true;
  markOpen();
}
function markOpen() {
  const open = document.querySelector("details.part[open] .fields")?.id;
  document.querySelectorAll(".d-item").forEach((a) => a.classList.toggle("open", a.getAttribute("href") === "#" + open));
}
document.addEventListener("click", (event) => {
  const link = event.target.closest('a[href^="#"]');
  if (!link) return;
  const id = link.getAttribute("href").slice(1);
  const place = document.getElementById(id);
  if (!place || !place.closest("details.part, form")) return;
  event.preventDefault();
  openPart(id);
  const field = place.matches("input, select, textarea") ? place : place.querySelector("input, select, textarea");
  if (field?.type === "radio") field.click(); // a cell touched on the drawn sheet of labels
  field?.focus({ preventScroll: true });
  place.scrollIntoView({ block: "nearest" });
});
document.addEventListener("toggle", markOpen, true);

// Problems found while typing are said beside their fields as well as in the list.
function sayProblems() {
  const form = document.querySelector("form.on-sheet");
  if (!form) return;
  form.querySelectorAll("[aria-invalid]").forEach((field) => field.removeAttribute("aria-invalid"));
  form.querySelectorAll(".problem").forEach((words) => { words.textContent = ""; });
  document.querySelectorAll("#problems a[href^='#f-']").forEach((link) => {
    const field = document.querySelector(link.getAttribute("href"));
    const words = document.getElementById("p-" + link.getAttribute("href").slice(3));
    if (words) words.textContent = link.parentElement.textContent.replace(link.textContent + ":", "").trim();
    field?.setAttribute("aria-invalid", "true");
  });
  document.getElementById("drawing").classList.toggle("stale", !!document.querySelector("#problems li"));
}
document.addEventListener("htmx:after:swap", () => { sayProblems(); markOpen(); });

// A timer is a deadline kept by the server; this only counts down to it.
function tickTimers() {
  document.querySelectorAll("[data-deadline]").forEach((clock) => {
    const left = Math.round((new Date(clock.dataset.deadline) - Date.now()) / 1000);
    const s = Math.abs(left);
    clock.textContent = left > 0 ? Math.floor(s / 60) + ":" + String(s % 60).padStart(2, "0") : "time is up";
    clock.classList.toggle("over", left <= 0);
  });
}
if (document.querySelector("[data-deadline]")) { tickTimers(); setInterval(tickTimers, 1000); }
markOpen();
if (location.hash.length > 1) openPart(decodeURIComponent(location.hash.slice(1)));
