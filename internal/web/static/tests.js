// Clocks that run, a number pad for sooty hands, and readings taken from an
// instrument. The pages work without it; no reading is kept here.

const all = (selector, within = document) => [...within.querySelectorAll(selector)];

// ---- Clocks: what had passed when the page was made, and since

const made = Date.now();
let rung = false;

function shown(seconds) {
  const s = Math.abs(seconds);
  return (seconds < 0 ? "−" : "") + Math.floor(s / 60) + ":" + String(s % 60).padStart(2, "0");
}

function tick() {
  for (const face of all(".clock-face")) {
    if (face.hasAttribute("data-waiting")) continue;
    const elapsed = Number(face.dataset.elapsed) + Math.floor((Date.now() - made) / 1000);
    const left = Number(face.dataset.until) - elapsed;
    const down = face.hasAttribute("data-countdown");
    face.textContent = shown(down ? left : elapsed);
    if (!down || left > 0) continue;
    const clock = face.closest(".clock");
    clock.classList.add("over");
    if (!rung && Number(face.dataset.elapsed) < Number(face.dataset.until)) ring(clock);
    rung = true;
  }
}

function ring(clock) {
  clock.querySelector(".clock-over").textContent = clock.querySelector("template").content.textContent;
  navigator.vibrate?.([400, 200, 400]);
  try {
    const audio = new AudioContext();
    for (const at of [0, 0.6, 1.2]) {
      const tone = audio.createOscillator();
      tone.frequency.value = 880;
      tone.connect(audio.destination);
      tone.start(audio.currentTime + at);
      tone.stop(audio.currentTime + at + 0.35);
    }
  } catch { /* a window without sound still shows the time */ }
}

tick();
setInterval(tick, 250);

// ---- The number pad

const pad = document.getElementById("pad");
let into = null;

// The units that a field's own unit is written in beside it.
const others = { "g": ["g", "kg"], "kg": ["kg", "g"], "°C": ["°C"], "%": ["%"], "hPa": ["hPa"], "m": ["m"], "min": ["min"], "K": ["K"] };

function key(face, does, kind) {
  const button = document.createElement("button");
  button.type = "button";
  button.tabIndex = -1;
  button.textContent = face;
  if (kind) button.className = kind;
  button.addEventListener("pointerdown", (event) => event.preventDefault()); // the focus stays in the field
  button.addEventListener("click", () => { if (into) { does(into); into.dispatchEvent(new Event("input", { bubbles: true })); } });
  return button;
}

const put = (text) => (field) => {
  const start = field.selectionStart ?? field.value.length;
  const end = field.selectionEnd ?? start;
  field.setRangeText(text, start, end, "end");
};
const back = (field) => {
  const start = field.selectionStart ?? field.value.length;
  const end = field.selectionEnd ?? start;
  if (start !== end) field.setRangeText("", start, end, "end");
  else if (start > 0) field.setRangeText("", start - 1, start, "end");
};
const unit = (u) => (field) => { field.value = field.value.replace(/\s*[^\d.,\s/-]*\s*$/, "") + " " + u; };

function showPad(field) {
  into = field;
  const units = others[field.dataset.pad] ?? (field.dataset.pad ? [field.dataset.pad] : []);
  const side = [key("⌫", back, "pad-unit"), key(units[0] ?? "", units[0] ? unit(units[0]) : () => {}, "pad-unit"),
    key(units[1] ?? "", units[1] ? unit(units[1]) : () => {}, "pad-unit"), field.dataset.pad ? key("−", put("-"), "pad-unit") : key("/", put("/"), "pad-unit")];
  const digits = ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0", "00"];
  const keys = [];
  for (let row = 0; row < 4; row++) {
    for (const d of digits.slice(3 * row, 3 * row + 3)) keys.push(key(d, put(d)));
    keys.push(side[row]);
  }
  pad.replaceChildren(...keys.map((k) => (k.textContent ? k : document.createElement("span"))));
  (field.closest(".way") ?? field.closest(".reading")).after(pad);
  pad.hidden = false;
}

if (pad) {
  const coarse = matchMedia("(pointer: coarse)").matches;
  for (const field of all("[data-pad]")) {
    if (coarse) field.setAttribute("inputmode", "none"); // the pad is the keyboard
    field.addEventListener("focus", () => showPad(field));
  }
  const pressing = document.querySelector(".reading .big-key"); // a key takes the time: that comes first
  const first = !pressing && all(".reading [data-pad]").find((f) => !f.value);
  if (first) { showPad(first); first.focus({ preventScroll: true }); }
}

// ---- Instruments: the reading stands beside the field, and is taken with one touch

async function listen() {
  let wait = 5000;
  try {
    const list = await (await fetch("/instruments/now")).json();
    if (list.length) wait = 400;
    for (const field of all("[data-live]")) offer(field, list.find((r) => r.kind === field.dataset.live && r.text && !r.silent && r.age < 3));
    for (const r of list) show(r);
    for (const gone of all("[data-gone]")) gone.hidden = !list.some((r) => r.port === gone.dataset.gone && r.silent);
  } catch { /* asked again; a reading can always be typed */ }
  if (document.visibilityState === "hidden") wait = 5000;
  setTimeout(listen, wait);
}

function taken(field, button) {
  field.value = button.dataset.text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.focus({ preventScroll: true });
}

// The Enter key takes the reading into the field that waits for it; a second one
// goes on.
document.addEventListener("keydown", (event) => {
  const field = event.target;
  const button = field.closest?.(".reading-row")?.querySelector(".take-reading");
  if (event.key !== "Enter" || !field.matches?.("[data-live]") || field.value || !button || button.hasAttribute("data-moving")) return;
  event.preventDefault();
  taken(field, button);
});

function offer(field, reading) {
  let button = field.closest(".reading-row")?.querySelector(".take-reading");
  if (!reading) { button?.remove(); return; }
  if (!button) {
    button = document.createElement("button");
    button.type = "button";
    button.className = "take-reading";
    button.append(document.createElement("b"), document.createElement("span"));
    button.addEventListener("click", () => taken(field, button));
    field.closest(".entry").after(button);
  }
  button.dataset.text = reading.text;
  button.toggleAttribute("data-moving", !reading.stable);
  button.firstChild.textContent = reading.text;
  const words = document.getElementById("run-words");
  button.lastChild.textContent = reading.stable ? words?.dataset.take ?? "" : words?.dataset.moving ?? "";
}

function show(reading) {
  const row = all("[data-instrument]").find((e) => e.dataset.instrument === reading.port);
  if (!row) return;
  const value = row.querySelector(".live-value");
  value.textContent = reading.text || "–";
  value.toggleAttribute("data-moving", !reading.stable);
  row.querySelector(".live-line").textContent = reading.line;
}

if (document.querySelector("[data-live], [data-instrument]")) listen();
