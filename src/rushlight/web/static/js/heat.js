// Scrubbing through the moments of a setting: frames are made by the server and kept once seen.
// Without this the range and its button, or the list of links, do the same.
"use strict";

const scrub = document.querySelector("form.scrub");
if (scrub) {
  const slide = scrub.querySelector("input[type=range]");
  const place = document.getElementById("moment");
  const said = document.getElementById("o-at");
  const play = scrub.querySelector(".play");
  const clock = slide.dataset.clock.split(" ").map(Number);
  const seen = new Map();
  let wanted = slide.value;

  function fetchMoment(at) {
    if (!seen.has(at)) {
      const address = new URL(scrub.dataset.moment, location.href);
      address.searchParams.set("at", at);
      seen.set(at, fetch(address).then((answer) => (answer.ok ? answer.text() : Promise.reject(answer.status))));
      seen.get(at).catch(() => seen.delete(at));
    }
    return seen.get(at);
  }

  // The mark on every curve stands at the moment shown.
  function moveMarks(seconds) {
    document.querySelectorAll("svg.curve[data-from]").forEach((chart) => {
      const [from, to, left, right] = ["from", "to", "left", "right"].map((name) => Number(chart.dataset[name]));
      const x = left + ((right - left) * Math.min(Math.max(seconds / 3600 - from, 0), to - from)) / (to - from);
      chart.querySelectorAll(".g-mark").forEach((mark) => { mark.setAttribute("x1", x); mark.setAttribute("x2", x); });
    });
  }

  async function show(at) {
    wanted = at;
    moveMarks(clock[Number(at)]);
    const html = await fetchMoment(at).catch(() => null);
    if (html === null || wanted !== at) return;
    place.innerHTML = html;
    const when = place.querySelector(".when").textContent.toLowerCase();
    said.textContent = when;
    slide.setAttribute("aria-valuetext", when);
  }

  let running = 0;
  function stop() {
    clearInterval(running);
    running = 0;
    play.textContent = "Let it run";
    play.setAttribute("aria-pressed", "false");
  }
  play.hidden = false;
  play.addEventListener("click", () => {
    if (running) return stop();
    if (slide.value === slide.max) slide.value = "0";
    play.textContent = "Hold it";
    play.setAttribute("aria-pressed", "true");
    running = setInterval(() => {
      slide.value = String(Number(slide.value) + 1);
      show(slide.value);
      if (slide.value === slide.max) stop();
    }, 300);
  });
  slide.addEventListener("input", () => { if (running) stop(); show(slide.value); });
  scrub.addEventListener("submit", (event) => { event.preventDefault(); show(slide.value); });
  document.documentElement.classList.add("scripted");
}
