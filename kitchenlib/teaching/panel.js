// ms: until words are said aloud, until a half-typed number counts, until a silent kernel is mentioned; px of a narrow panel, and of the
// control in use with its margins there; the shares of the window's height up to which picture and words (on a wide panel), else the
// picture alone, stay in sight while the controls scroll; and how far the picture shrinks for that, or for both to be in the window at
// once (never in one so low, in px, that somebody has zoomed in to see more); how far it grows; letters of a choice that wants a line,
// and from which on the cautions under the first are folded on a phone
const QUIET = 700, TYPING = 400, PATIENCE = 8000, NARROW = 600, CONTROL = 112, BOTH = 0.8, WHOLE = 0.97, ALONE = 0.6, SMALLEST = 0.75, LARGEST = 1.35, ZOOMED = 600,
  LONG = 20, FOLD = 160;

export default { render({ model, el }) {
  const group = "k" + Math.random().toString(36).slice(2);
  const make = (tag, more = {}, to = el) => to.appendChild(Object.assign(document.createElement(tag), more));
  const state = { ...model.get("asked") };
  const page = Boolean(document.body.dataset.voila);     // a page without code
  const refresh = [];                                    // one function per control: show the state

  // --- asking the kernel: one question at a time, always the newest ---
  let busy = false, waiting = false, patience;
  const ask = () => {
    if (busy) { waiting = true; return; }
    busy = true; waiting = false;
    state.move = Math.max(state.move, model.get("asked").move) + 1;
    model.set("asked", { ...state, values: { ...state.values } }); model.save_changes();
    patience = setTimeout(() => {
      busy = false;
      trouble.textContent = page ? "No answer yet." : "No answer from the kernel yet. If this stays, run the cell above again, or load the page anew.";
      document.dispatchEvent(new Event("k-silent"));       // a page without code then looks whether its kernel still lives
    }, PATIENCE);
  };
  const set = (name, value) => { state.values[name] = value; show(); ask(); };
  const show = () => refresh.forEach((each) => each());

  // --- frame ---
  el.classList.add("k-panel"); el.dataset.lmSuppressShortcuts = "true";
  el.setAttribute("role", "group"); el.setAttribute("aria-label", model.get("title") || "explorer");
  el.addEventListener("keydown", (event) => event.stopPropagation());     // or JupyterLab takes the arrow keys
  if (page && model.get("size") === "projector") document.documentElement.classList.add("k-projector");
  if (model.get("title")) make("p", { className: "k-title", textContent: model.get("title") });
  const result = make("div", { className: "k-result" });
  const picture = make("img", { alt: model.get("alt"), hidden: true }, result);
  const words = make("div", { className: "k-words" }, result); words.setAttribute("role", "status");
  const trouble = make("p", { className: "k-alert" }, result); trouble.setAttribute("role", "alert");
  const more = make("div", { className: "k-more" });
  const cautions = make("div", { className: "k-cautions" }); cautions.setAttribute("role", "status");
  const others = make("details", { className: "k-others", hidden: true });     // on a phone all cautions but the first
  const howMany = make("summary", {}, others), folded = make("div", {}, others);
  const controls = make("div", { className: "k-controls" });

  // --- controls ---
  const scale = (name) => model.get("scales")[name];
  const shownNumber = (name, value) => { const s = scale(name); return Number((s.slope * value + s.zero).toPrecision(s.digits)); };
  const slider = (control, to) => {
    const { name, label } = control;
    const row = make("div", { className: "k-slider" }, to);
    const line = make("label", {}, row);
    make("span", { className: "k-name", textContent: label }, line);
    const range = make("input", { type: "range", min: 0, step: 1 }, line);
    const exact = make("span", { className: "k-exact" }, row);
    const box = make("input", { type: "number", step: "any", inputMode: "decimal" }, exact);
    const unit = make("span", { className: "k-unit" }, exact); unit.setAttribute("aria-hidden", "true");
    range.dataset.name = box.dataset.name = name;
    const nearest = (value) => { const stops = scale(name).stops; return stops.reduce((best, s, i) => Math.abs(s - value) < Math.abs(stops[best] - value) ? i : best, 0); };
    range.addEventListener("input", () => set(name, scale(name).stops[range.valueAsNumber]));
    const typed = () => {                                // an end is typed as it is shown: 39.2 °F
      const s = scale(name), number = box.valueAsNumber, ends = [s.stops[0], s.stops.at(-1)];
      const end = ends.find((e) => shownNumber(name, e) === number);
      return Number.isNaN(number) ? null : end !== undefined ? end : (number - s.zero) / s.slope;
    };
    const fits = (value) => value !== null && value >= scale(name).stops[0] && value <= scale(name).stops.at(-1);
    let typing;
    box.addEventListener("input", () => { clearTimeout(typing); typing = setTimeout(() => { const value = typed(); if (fits(value)) set(name, value); }, TYPING); });
    box.addEventListener("change", () => { clearTimeout(typing); const value = typed(); if (value !== state.values[name]) set(name, value); });
    box.addEventListener("blur", show);
    box.addEventListener("keydown", (event) => {
      const way = { ArrowUp: 1, ArrowDown: -1 }[event.key]; if (!way) return;
      event.preventDefault(); clearTimeout(typing);
      const stops = scale(name).stops, now = state.values[name];
      const next = way > 0 ? stops.find((s) => s > now + 1e-9 * Math.abs(now)) : stops.findLast((s) => s < now - 1e-9 * Math.abs(now));
      if (next !== undefined) { set(name, next); box.value = shownNumber(name, next); }
    });
    box.addEventListener("wheel", () => box.blur(), { passive: true });   // a turn of the wheel scrolls the page, no more
    refresh.push(() => {
      const s = scale(name), value = state.values[name];
      range.max = s.stops.length - 1; unit.textContent = s.unit;
      box.min = shownNumber(name, s.stops[0]); box.max = shownNumber(name, s.stops.at(-1));
      box.setAttribute("aria-label", `${label}, exact number${s.unit ? " in " + s.unit : ""}`);
      box.setAttribute("aria-invalid", String(!fits(value)));
      if (value === null) return;
      range.value = nearest(value);
      range.setAttribute("aria-valuetext", `${shownNumber(name, value)} ${s.unit}`.trim());
      if (document.activeElement !== box) box.value = shownNumber(name, value);
    });
  };
  const radios = (legend, name, options, to, get, choose) => {
    const field = make("fieldset", { className: "k-radios" }, to);
    make("legend", { textContent: legend }, field);
    for (const option of options) {
      const line = make("label", {}, field);
      const input = make("input", { type: "radio", name: `${group}-${name}`, value: option }, line);
      input.dataset.name = name;
      make("span", { textContent: option }, line);
      input.addEventListener("change", () => choose(option));
      refresh.push(() => { input.checked = get() === option; });
    }
  };
  const choice = (control, to) => {
    const { name, label, options } = control;
    if (options.length <= 3) return radios(label, name, options, to, () => state.values[name], (word) => set(name, word));
    const long = options.some((option) => option.length > LONG);
    const line = make("label", { className: "k-choice" }, make("div", { className: `k-select${long ? " k-long" : ""}` }, to));
    make("span", { className: "k-name", textContent: label }, line);
    const select = make("select", {}, line); select.dataset.name = name;
    for (const option of options) make("option", { value: option, textContent: option }, select);
    select.addEventListener("change", () => set(name, select.value));
    refresh.push(() => { select.value = state.values[name]; });
  };
  const boxes = {};
  const samples = [...new Set(model.get("controls").map((c) => c.sample).filter(Boolean))];
  if (samples.length) {
    const side = make("div", { className: "k-samples" }, controls);
    for (const sample of samples) {
      boxes[sample] = make("fieldset", { className: "k-sample" }, side); boxes[sample].dataset.sample = sample;
      make("legend", { textContent: `sample ${sample}` }, boxes[sample]);
    }
  }
  boxes[""] = make("div", { className: "k-shared" }, controls);
  for (const control of model.get("controls")) (control.options ? choice : slider)(control, boxes[control.sample]);

  // --- foot: units and back to start ---
  const foot = make("div", { className: "k-foot" });
  for (const [name, options] of Object.entries(model.get("switches")))
    radios({ temperature: "temperatures in", mass: "weights in" }[name], name, options, foot, () => state[name], (word) => { state[name] = word; state.turn += 1; show(); ask(); });
  const back = make("button", { type: "button", textContent: "back to start" }, foot);
  back.addEventListener("click", () => { for (const c of model.get("controls")) state.values[c.name] = c.start; show(); ask(); });

  // --- what the kernel answers ---
  let url;
  const teller = (place, className) => {                 // seen at once, said aloud when the slider has come to rest
    let said, quiet;
    return (lines) => {
      if (said === lines.join("\n")) return;
      const first = said === undefined; said = lines.join("\n");
      const write = () => place.replaceChildren(...lines.map((textContent) => Object.assign(document.createElement("p"), { textContent, className })));
      place.setAttribute("aria-live", "off"); write();
      place.style.minHeight = `${Math.max(place.offsetHeight, parseFloat(place.style.minHeight) || 0)}px`;   // what goes leaves its room: controls hold still
      clearTimeout(quiet);
      if (!first) quiet = setTimeout(() => { place.setAttribute("aria-live", "polite"); write(); }, QUIET);
    };
  };
  const tellWords = teller(words, ""), tellMore = teller(more, ""), tellCautions = teller(cautions, "k-caution"), tellFolded = teller(folded, "k-caution");
  let wasNarrow = false;
  const tell = () => {
    const shown = model.get("shown"), [first, ...rest] = (shown.cautions || []).map((text) => `Caution: ${text}`);
    const fold = wasNarrow && rest.join("").length > FOLD;
    tellWords(shown.words ? [shown.words] : []); tellMore(shown.more ? [shown.more] : []);
    tellCautions(!first ? [] : fold ? [first] : [first, ...rest]); tellFolded(fold ? rest : []);
    others.hidden = !fold; howMany.textContent = rest.length === 1 ? "One more caution" : `${rest.length} more cautions`;
  };
  const paint = () => {
    const shown = model.get("shown");
    if (shown.picture && shown.picture.byteLength) {
      const old = url;
      url = URL.createObjectURL(new Blob([shown.picture], { type: "image/png" }));
      Object.assign(picture, { src: url, width: shown.width, height: shown.height, hidden: false });
      if (old) setTimeout(() => URL.revokeObjectURL(old), 1000);
    }
    el.classList.toggle("k-stale", Boolean(shown.trouble));
    if (trouble.textContent !== shown.trouble) trouble.textContent = shown.trouble;
    tell();
  };
  const answered = () => {
    const shown = model.get("shown");
    paint();
    if (shown.move < state.move) return;
    busy = false; clearTimeout(patience); document.dispatchEvent(new Event("k-heard"));
    if (waiting) return ask();
    Object.assign(state, { values: { ...shown.values }, temperature: shown.temperature, mass: shown.mass, move: shown.move });
    show(); measure();
  };
  model.on("change:shown", answered); model.on("change:scales", show);

  // --- as large as there is room, and a little smaller where picture and words then stay in sight together ---
  const inSight = () => wasNarrow ? window.innerHeight - CONTROL : BOTH * window.innerHeight;
  const fit = () => {
    const { width, height } = model.get("shown"), full = Math.min(result.clientWidth, LARGEST * width);
    if (!full) return;
    const room = (high) => (high - words.offsetHeight - trouble.offsetHeight - 17) * width / height;
    const fitting = window.innerHeight < ZOOMED ? full : [room(inSight()), room(WHOLE * window.innerHeight)].find((wide) => wide >= SMALLEST * full) ?? full;
    picture.style.maxWidth = `${Math.floor(Math.min(full, fitting))}px`;
  };

  // --- width: the figure has a narrow form, and as many pixels as the screen can show, in steps ---
  let settling;
  const measure = () => {
    if (busy || !el.clientWidth) return;
    const narrow = el.clientWidth < NARROW, want = narrow || model.get("size") === "narrow", drawn = model.get("shown").width;
    el.classList.toggle("k-narrow", narrow);
    el.classList.toggle("k-projector", !narrow && model.get("size") === "projector");
    if (narrow !== wasNarrow) {
      wasNarrow = narrow; tell();
      for (const part of [words, more, cautions, folded]) part.style.minHeight = "";
    }
    for (const part of ["output", "child"]) el.closest(`.jp-OutputArea-${part}`)?.classList.add("k-open");   // or nothing in it can stay in sight
    el.closest(".jp-OutputArea")?.classList.add("k-open");
    fit();
    const tall = [picture, words, trouble].reduce((sum, part) => sum + part.offsetHeight, 16);
    const both = tall < inSight(), alone = !both && picture.offsetHeight < ALONE * window.innerHeight;
    el.classList.toggle("k-follow", both); el.classList.toggle("k-follow-picture", alone);
    el.style.setProperty("--seen", `${both ? tall : alone ? picture.offsetHeight + 8 : 0}px`);
    const pixels = window.devicePixelRatio * (want === state.narrow && drawn && picture.clientWidth ? picture.clientWidth / drawn : 1);
    const fine = Math.min(2, Math.max(1, Math.ceil(4 * pixels - 0.25) / 4));
    if (want !== state.narrow || fine !== state.fine) { Object.assign(state, { narrow: want, fine }); ask(); }
  };
  const observer = new ResizeObserver(() => { clearTimeout(settling); settling = setTimeout(measure, 120); }); observer.observe(el);
  show(); paint();
  return () => {
    observer.disconnect(); [patience, settling].forEach(clearTimeout); if (url) URL.revokeObjectURL(url);
    model.off("change:shown", answered); model.off("change:scales", show);
  };
} };
