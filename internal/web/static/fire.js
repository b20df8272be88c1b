// What takes its time on the page of the fire: bands, the heat in the body, the
// difference of two stoves. Each place that waits says where its part comes
// from; one is asked for at a time, and given up when the page has moved on.

const waiting = () => [...document.querySelectorAll("[data-later]")].sort((a, b) => (a.dataset.turn ?? 9) - (b.dataset.turn ?? 9));
let running = null; // { url, stop }
let pause = 0;

function soon() {
  clearTimeout(pause);
  pause = setTimeout(next, 300);
}

async function next() {
  if (running) {
    if (waiting().some((place) => place.dataset.later === running.url)) return;
    running.stop.abort();
  }
  const place = waiting()[0];
  if (!place) return;
  const mine = { url: place.dataset.later, stop: new AbortController() };
  running = mine;
  try {
    const answer = await fetch(mine.url, { headers: { "Bench-Parts": "1" }, signal: mine.stop.signal });
    const html = await answer.text();
    if (running !== mine || !place.isConnected) return;
    if (answer.ok) take(html);
    delete place.dataset.later; // what failed is not asked for again
  } catch {
    if (place.isConnected && running === mine) delete place.dataset.later;
  } finally {
    if (running === mine) { running = null; soon(); }
  }
}

function take(html) {
  const sent = new DOMParser().parseFromString(html, "text/html");
  for (const fresh of sent.querySelectorAll("body > [id]")) {
    const old = document.getElementById(fresh.id);
    if (!old || old.isEqualNode(fresh)) continue;
    const chosen = old.contains(document.activeElement) && document.activeElement.id;
    old.replaceWith(fresh);
    if (chosen) document.getElementById(chosen)?.focus({ preventScroll: true });
  }
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-stop]");
  if (!button) return;
  for (const place of waiting()) delete place.dataset.later;
  running?.stop.abort();
  running = null;
  button.closest(".later").classList.add("stopped");
});

document.addEventListener("change", (event) => {
  const choice = event.target.closest("[data-against]");
  if (!choice) return;
  const url = `${choice.dataset.against}&against=${encodeURIComponent(choice.value)}`;
  const section = choice.closest("section");
  const place = section.querySelector(".later") || Object.assign(document.createElement("div"), { className: "later" });
  place.dataset.later = url;
  section.append(place);
  soon();
});

new MutationObserver(soon).observe(document.getElementById("main"), { childList: true, subtree: true });
soon();
