// The pages that ask what to change. Dimensions are tried by sliding, stepping or
// typing, and what follows follows; a study that is under way is asked how far it
// is; a design that is touched in one picture is marked in all.

const all = (selector, within = document) => [...within.querySelectorAll(selector)];
const byId = (id) => document.getElementById(id);

document.querySelector(".explore-tabs [aria-current]")?.scrollIntoView({ inline: "center", block: "nearest" });

// ---- Parts of the page, each in the place of the one with its id

function take(html) {
  const sent = new DOMParser().parseFromString(html, "text/html");
  for (const fresh of all("body > [id]", sent)) put(fresh);
  mark(marked);
}

function put(fresh) {
  const old = byId(fresh.id);
  if (!old || old.isEqualNode(fresh)) return;
  if (old.classList.contains("try-row")) { follow(old, fresh); return; }
  if (old.id === "study") { for (const part of all(":scope > [id]", fresh)) put(part); return; }
  for (const opened of all("details[id]", old)) {
    const same = fresh.querySelector(`#${CSS.escape(opened.id)}`);
    if (same) same.open = opened.open;
  }
  old.replaceWith(fresh);
}

// follow lets a row follow without being replaced: a button or slider must not be
// taken from under the hand.
function follow(old, fresh) {
  const at = document.activeElement;
  for (const part of [".try-was", ".try-kept", ".try-says", ".message"]) {
    old.querySelector(part).replaceChildren(...fresh.querySelector(part).childNodes);
  }
  const field = old.querySelector(".entry input"), slide = old.querySelector(".slider input");
  if (at !== field) field.value = fresh.querySelector(".entry input").value;
  if (at !== slide) slide.value = fresh.querySelector(".slider input").value;
  const state = fresh.querySelector(".message").dataset.state;
  old.querySelector(".message").dataset.state = state;
  if (state === "wrong") field.setAttribute("aria-invalid", "true"); else field.removeAttribute("aria-invalid");
  const steps = all(".step", fresh);
  all(".step", old).forEach((step, i) => { step.value = steps[i].value; step.disabled = steps[i].disabled; });
}

// ---- Trying

let busy = false;
let next = null; // what is to be asked when the answer is there: a step, or "" for the form as it stands

async function trying(step) {
  const form = document.querySelector("form[data-try]");
  if (!form) return;
  if (busy) { next = step || next || ""; return; }
  busy = true;
  try {
    const query = new URLSearchParams(new FormData(form));
    if (step) query.set("step", step);
    const answer = await fetch(`${form.getAttribute("action")}?${query}`, { headers: { "Bench-Parts": "1" } });
    if (answer.ok && (step || next === null)) {
      take(await answer.text());
      history.replaceState(null, "", byId("explore-tiles").dataset.address);
    }
  } catch { /* the next key asks again; nothing is kept by trying */ } finally {
    busy = false;
    const then = next;
    next = null;
    if (then !== null) trying(then);
  }
}

document.addEventListener("input", (event) => {
  const { target } = event;
  if (!target.closest("form[data-try]")) return;
  const id = target.dataset.slide;
  if (id) byId(`try-${id}`).value = `${target.value} ${target.dataset.unit}`;
  trying();
});

document.addEventListener("submit", (event) => {
  if (!event.target.matches("form[data-try]")) return;
  event.preventDefault();
  trying(event.submitter?.name === "step" ? event.submitter.value : "");
});

// ---- What is asked for by and by

let waiting = 0;

function ask() {
  clearTimeout(waiting);
  const place = document.querySelector("[data-ask]");
  if (!place) return;
  waiting = setTimeout(async () => {
    try {
      const answer = await fetch(place.dataset.ask, { headers: { "Bench-Parts": "1" } });
      if (answer.ok) take(await answer.text());
      else delete place.dataset.ask;
    } catch { /* the program does not answer: ask again */ }
    ask();
  }, Number(place.dataset.after));
}
ask();

// ---- One design in all pictures

let marked = null;

function mark(key) {
  if (!key || !document.querySelector(`[data-card="${CSS.escape(key)}"]`)) return;
  marked = key;
  for (const e of all(".design[data-key]")) {
    e.classList.toggle("marked", e.dataset.key === key);
    e.setAttribute("aria-pressed", e.dataset.key === key);
  }
  for (const row of all("[data-design]")) row.classList.toggle("marked", row.dataset.design === key);
  for (const link of all("[data-mark]")) {
    if (link.dataset.mark === key) link.setAttribute("aria-current", "true"); else link.removeAttribute("aria-current");
  }
  for (const card of all("[data-card]")) card.hidden = card.dataset.card !== key;
}
mark(document.querySelector("[data-card]:not([hidden])")?.dataset.card);

const reach = 24; // CSS pixels around a stove in a picture that still mean it

// touched is the stove in a picture that a click means.
function touched(event) {
  let best = null, least = reach;
  for (const point of all(".design[data-key]", event.target.closest(".explore-figure"))) {
    const box = point.getBoundingClientRect();
    const dx = Math.max(box.left - event.clientX, 0, event.clientX - box.right);
    const dy = Math.max(box.top - event.clientY, 0, event.clientY - box.bottom);
    const away = Math.hypot(dx, dy) || Math.min(box.width, box.height) / 1000; // of two that overlap, the smaller
    if (away < least) { least = away; best = point.dataset.key; }
  }
  return best;
}

document.addEventListener("click", (event) => {
  if (event.ctrlKey || event.metaKey || event.shiftKey) return;
  const link = event.target.closest("[data-mark]");
  if (link) { event.preventDefault(); mark(link.dataset.mark); return; }
  const direct = event.target.closest(".design[data-key]");
  if (direct) mark(direct.dataset.key);
  else if (event.target.closest(".linked .sheet-paper")) mark(touched(event));
});

document.addEventListener("keydown", (event) => {
  const point = event.target.closest?.(".design[data-key]");
  if (point && (event.key === "Enter" || event.key === " ")) { event.preventDefault(); mark(point.dataset.key); }
});
