// The bench's one script. Every page works without it by plain forms and
// links; with it, each key is saved as it is pressed, and a dimension is
// changed by touching it on the drawing while everything beside it follows.
//
// The server sends parts of the page, elements with an id; take() puts each in
// the place of the one with the same id. No state is kept here but what has
// not reached the server yet.

const byId = (id) => document.getElementById(id);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];
const keyed = () => document.querySelector("form[data-key]"); // the form whose keys are saved one by one
document.documentElement.classList.add("scripted");

// ---- Parts of the page

function take(html) {
  const sent = new DOMParser().parseFromString(html, "text/html");
  const place = remember();
  for (const fresh of all("body > [id]", sent)) put(fresh);
  const said = sent.getElementById("said");
  if (said && said.textContent) byId("said").textContent = said.textContent;
  restore(place);
  markChanged();
  return sent;
}

function put(fresh) {
  const old = byId(fresh.id);
  if (!old || fresh.id === "said" || old.isEqualNode(fresh)) return;
  if (old.classList.contains("message")) { // a live region must stay to be heard
    old.replaceChildren(...fresh.childNodes);
    old.dataset.state = fresh.dataset.state;
    const entry = byId(old.dataset.for);
    if (entry) entry.toggleAttribute("aria-invalid", fresh.dataset.state === "wrong");
    if (entry && fresh.dataset.state === "wrong") entry.setAttribute("aria-invalid", "true");
    return;
  }
  for (const opened of all("details[id]", old)) {
    const same = fresh.querySelector(`#${CSS.escape(opened.id)}`);
    if (same) same.open = opened.open || same.open;
  }
  old.replaceWith(fresh);
}

// remember and restore keep the focus, the caret and what was scrolled to.
function remember() {
  const at = document.activeElement;
  const sheet = document.querySelector(".sheet-paper");
  return {
    at,
    find: at?.dataset?.key ? `.sheet [data-key="${at.dataset.key}"]`
      : at?.dataset?.dim && at.closest("[id]") ? `#${CSS.escape(at.closest("[id]").id)} [data-dim="${at.dataset.dim}"]`
      : at?.id ? `#${CSS.escape(at.id)}`
      : at?.name && at.closest("form") ? `form[action="${at.closest("form").getAttribute("action")}"] [name="${at.name}"]` : null,
    caret: at?.selectionStart ?? null,
    left: sheet?.scrollLeft, top: sheet?.scrollTop,
  };
}

function restore(place) {
  const sheet = document.querySelector(".sheet-paper");
  if (sheet && place.left !== undefined) { sheet.scrollLeft = place.left; sheet.scrollTop = place.top; }
  if (!place.find || place.at.isConnected) return;
  const again = document.querySelector(place.find);
  again?.focus({ preventScroll: true });
  if (again && place.caret !== null && again.setSelectionRange) again.setSelectionRange(place.caret, place.caret);
}

function alarm(words) {
  const box = byId("alarm");
  box.textContent = words;
  box.hidden = !words;
}

// ask gets parts from the server. It gives null when the server answered that
// it could not, after telling why; it throws when there was no answer.
async function ask(url, form, signal) {
  const options = { signal, headers: { "Bench-Parts": "1" } };
  if (form) Object.assign(options, { method: "POST", body: form });
  const answer = await fetch(url, options);
  const html = await answer.text();
  if (answer.ok || answer.status === 422) {
    const sent = new DOMParser().parseFromString(html, "text/html");
    const problem = sent.getElementById("problem-words");
    alarm(problem ? problem.textContent : "");
    return problem ? null : { html, ok: answer.ok };
  }
  const problem = new DOMParser().parseFromString(html, "text/html").getElementById("problem-words");
  alarm(problem ? problem.textContent : answer.statusText);
  return null;
}

const unanswered = () => alarm(document.body.dataset.unsaved);

// ---- A form with data-key: each key is saved at once, one request at a time

const waiting = new Map(); // path → text that the server does not have yet
let sent = new Map(); // the same, on its way
let sending = false;
let leaving = new AbortController();

async function send() {
  const form = keyed();
  if (sending || waiting.size === 0 || !form) return;
  sending = true;
  sent = new Map(waiting);
  waiting.clear();
  try {
    const answer = await ask(form.dataset.key, new URLSearchParams([...sent]), leaving.signal);
    if (answer) take(answer.html);
  } catch {
    for (const [path, text] of sent) if (!waiting.has(path)) waiting.set(path, text);
    unanswered();
    await new Promise((done) => setTimeout(done, 1500));
  }
  sent.clear();
  keepUnsaved();
  sending = false;
  send();
}

// What the server has not acknowledged is also kept in the window, so that a
// page that is left or loaded again at the wrong moment shows what was typed
// and sends it once more.
const unsaved = () => new Map([...sent, ...waiting]);
const memory = () => "unsaved " + keyed().dataset.key;

function keepUnsaved() {
  if (!keyed()) return;
  try {
    if (unsaved().size) sessionStorage.setItem(memory(), JSON.stringify([...unsaved()]));
    else sessionStorage.removeItem(memory());
  } catch { /* a window without storage still saves each key */ }
}

// Only the next page recalls: what was changed elsewhere since must stay.
function recall() {
  const form = keyed();
  if (!form) {
    try {
      for (const key of Object.keys(sessionStorage)) if (key.startsWith("unsaved ")) sessionStorage.removeItem(key);
    } catch { /* nothing was kept */ }
    return;
  }
  let kept = [];
  try { kept = JSON.parse(sessionStorage.getItem(memory()) || "[]"); } catch { /* nothing to recall */ }
  for (const [path, text] of kept) {
    const field = form.elements.namedItem(path);
    if (!field) continue;
    field.value = text;
    waiting.set(path, text);
  }
  keepUnsaved();
  send();
}

document.addEventListener("input", (event) => {
  const { target } = event;
  if (target.name && target.form && target.form === keyed()) {
    waiting.set(target.name, target.value);
    keepUnsaved();
    send();
  } else if (target.id === "panel-input") {
    preview(target.form);
  }
});
window.addEventListener("pagehide", () => {
  const form = keyed();
  const last = unsaved();
  leaving.abort(); // an older request must not arrive after the newer text
  leaving = new AbortController();
  if (form && last.size) navigator.sendBeacon(form.dataset.key, new URLSearchParams([...last]));
});
window.addEventListener("beforeunload", (event) => {
  if (waiting.size && !byId("alarm").hidden) event.preventDefault();
});
recall();

// ---- Forms that change something

document.addEventListener("submit", async (event) => {
  const form = event.target;
  const live = form === keyed() && !form.hasAttribute("data-plain") || form.hasAttribute("data-live");
  if (!live || event.defaultPrevented) return;
  event.preventDefault();
  const { submitter } = event;
  const body = new URLSearchParams(new FormData(form, submitter));
  if (form === keyed()) { waiting.clear(); keepUnsaved(); }
  try {
    const answer = await ask(form.getAttribute("action"), body);
    if (!answer) return;
    take(answer.html);
    after(form, submitter, answer.ok);
  } catch {
    unanswered();
  }
});

// after puts the focus where the work goes on.
function after(form, submitter, ok) {
  const [verb, what] = (submitter?.name === "do" ? submitter.value : "").split(/[:=]/);
  if (form === keyed()) {
    if (verb === "add") all(`#${CSS.escape("add-" + what)} .item`).at(-1)?.querySelector("input, select")?.focus();
    if (verb === "remove") byId("add-" + what.replace(/\[.*/, ""))?.focus();
    if (verb === "try") byId(what)?.focus();
  } else if (form.dataset.panel && !ok) {
    byId("panel-input")?.focus();
  } else if (form.dataset.panel && submitter?.name === "step") {
    openPanel(form.dataset.panel, (submitter.nextElementSibling ? "first" : "last"));
  } else if (form.dataset.panel) {
    closePanel();
  }
}

// ---- The panel of a dimension

let previews = 0;
let opener = null; // id of the dimension whose panel is open

async function openPanel(id, step) {
  const dialog = byId("dialog");
  if (!dialog) return;
  try {
    const answer = await ask(`${location.pathname}?dim=${encodeURIComponent(id)}`);
    if (!answer) return;
    take(answer.html);
  } catch { unanswered(); return; }
  opener = id;
  if (!dialog.open) dialog.show();
  point(id);
  const steps = all(".step", dialog);
  const target = (step && (step === "first" ? steps[0] : steps.at(-1))) || byId("panel-input") || dialog.querySelector("[data-close]");
  target?.focus();
  if (!step) byId("panel-input")?.select();
  inSight(id);
}

// inSight brings a dimension out from under the panel where the window is small.
function inSight(id) {
  const dim = document.querySelector(`.sheet .dim[data-key="${CSS.escape(id)}"] .hit`);
  const panel = byId("dialog").getBoundingClientRect();
  if (!dim || panel.width < innerWidth * 0.9) return;
  const box = dim.getBoundingClientRect();
  const paper = document.querySelector(".sheet-paper");
  paper.scrollLeft += box.left + box.width / 2 - innerWidth / 2;
  if (box.bottom > panel.top || box.top < 0) scrollBy(0, box.top - panel.top / 2);
}

function closePanel() {
  const dialog = byId("dialog");
  if (!dialog?.open) return;
  dialog.close();
  byId("panel").replaceChildren();
  point(null);
  const back = opener && (document.querySelector(`.sheet [data-key="${opener}"]`) || document.querySelector(`[data-dim="${opener}"]`));
  back?.focus({ preventScroll: true });
  opener = null;
}

let pause = 0;
function preview(form) {
  byId("panel-message").replaceChildren();
  byId("panel-input").removeAttribute("aria-invalid");
  clearTimeout(pause);
  pause = setTimeout(async () => {
    const body = new URLSearchParams(new FormData(form));
    body.set("do", "preview");
    const turn = ++previews;
    try {
      const answer = await ask(form.getAttribute("action"), body);
      if (answer && turn === previews && form.isConnected) take(answer.html);
    } catch { /* the next key asks again; nothing is saved by a preview */ }
  }, 90);
}

// ---- Touching the drawing

const reach = 24; // CSS pixels around a dimension that still mean it

function touched(event) {
  const direct = event.target.closest(".dim[data-key]");
  if (direct) return direct.dataset.key;
  let best = null, least = reach;
  for (const hit of all(".sheet .dim[data-key] .hit")) {
    const box = hit.getBoundingClientRect();
    const dx = Math.max(box.left - event.clientX, 0, event.clientX - box.right);
    const dy = Math.max(box.top - event.clientY, 0, event.clientY - box.bottom);
    if (Math.hypot(dx, dy) < least) { least = Math.hypot(dx, dy); best = hit.closest(".dim").dataset.key; }
  }
  return best;
}

document.addEventListener("click", async (event) => {
  if (event.defaultPrevented || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const { target } = event;
  const link = target.closest("a[data-dim]");
  if (link && byId("dialog")) { event.preventDefault(); openPanel(link.dataset.dim); return; }
  if (target.closest("[data-close]")) { event.preventDefault(); closePanel(); return; }
  const part = target.closest("a[data-part]");
  if (part) {
    event.preventDefault();
    try {
      const answer = await ask(part.href);
      if (answer) { take(answer.html); history.replaceState(null, "", part.href); }
    } catch { location.assign(part.href); }
    return;
  }
  if (target.closest(".sheet .drawing")) {
    const id = touched(event);
    if (id) openPanel(id);
  }
});

document.addEventListener("keydown", (event) => {
  const dim = event.target.closest?.(".sheet .dim[data-key]");
  if (dim && (event.key === "Enter" || event.key === " ")) {
    event.preventDefault();
    openPanel(dim.dataset.key);
  } else if (event.key === "Escape") {
    closePanel();
  } else if (event.key.toLowerCase() === "z" && (event.ctrlKey || event.metaKey) && !event.target.closest("input, textarea, select")) {
    const form = document.querySelector(`form[action$="/${event.shiftKey ? "redo" : "undo"}"][data-live]`);
    if (form) { event.preventDefault(); form.requestSubmit(form.querySelector("button:not(:disabled)")); }
  }
});

// ---- The same dimension on the drawing, in the tables and among the changes

function point(id) {
  for (const e of all(".pointed")) e.classList.remove("pointed");
  if (!id) return;
  const same = CSS.escape(id);
  for (const e of all(`.sheet .dim[data-key="${same}"], [data-row="${same}"]`)) e.classList.add("pointed");
}
for (const kind of ["pointerover", "focusin"]) {
  document.addEventListener(kind, (event) => {
    const e = event.target.closest?.("[data-row], .sheet [data-key], [data-dim], [data-changed]");
    if (e) point(e.dataset.row || e.dataset.key || e.dataset.dim || e.dataset.changed);
    else if (kind === "pointerover") point(opener);
  });
}

function markChanged() {
  for (const e of all(".sheet .dim.changed")) e.classList.remove("changed");
  for (const row of all("#changes [data-changed]")) {
    for (const e of all(`.sheet .dim[data-key="${CSS.escape(row.dataset.changed)}"]`)) e.classList.add("changed");
  }
}
markChanged();
