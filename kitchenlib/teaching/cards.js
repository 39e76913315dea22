// Looks up, takes the more careful neighbour, rounds grams to what a scale can show. No number is born here: all lie in the table.
(() => {
  const $ = (id) => document.getElementById(id), t = JSON.parse($("table").textContent), SLACK = 1e-9;
  const all = (selector) => [...document.querySelectorAll(selector)];
  const make = (tag, words, to, more = {}) => to.appendChild(Object.assign(document.createElement(tag), { textContent: words, ...more }));

  // --- rounding: whole steps, near (half goes up), up or down ---
  const stepped = (number, step, way) => {
    const parts = number / step;
    return (way === "up" ? Math.ceil(parts - SLACK) : way === "down" ? Math.floor(parts + SLACK) : Math.floor(parts + 0.5 + SLACK)) * step;
  };
  const digits = (number, step) => stepped(number, step, "near").toFixed(Math.max(0, -Math.floor(Math.log10(step) + SLACK)));
  const scale = (grams) => (t.scales.find(([least]) => grams >= least * (1 - SLACK)) ?? t.scales.at(-1))[1];
  const mass = (grams, way) => {
    const step = scale(grams), done = stepped(grams, step, way);
    const coarse = t.kilos.find(([least]) => done >= least)?.[1];
    return coarse ? `${digits(stepped(grams, coarse, way) / 1000, coarse / 1000)}\u00a0kg` : `${digits(done, step)}\u00a0g`;
  };

  // --- what was typed: grams, or a sentence ---
  const read = (typed) => {
    const [least, most] = [t.batches[0], t.batches.at(-1)], bare = typed.trim().replace(/\s*g$/i, "");
    if (!bare) return "Type the grams of your batch.";
    if (/^[-\u2212\u2013]/.test(bare)) return "A batch weighs more than nothing: type it without the minus.";
    if (!/^(\d+([.,]\d*)?|[.,]\d+)(e\d{1,2})?$/i.test(bare)) return `"${bare}" is not a number of grams: type it like 500 or 12,5.`;
    if (/^[1-9]\d{0,2},\d{3}$/.test(bare)) return `"${bare}" could be ${bare.replace(",", ".")} or ${bare.replace(",", "")}: type it with a point or with no separator.`;
    const grams = Number(bare.replace(",", "."));
    if (!grams) return "0 g is no batch: type its grams.";
    if (grams < least) return `This card begins at ${least} g: make ${least} g, or open lesson 02.`;
    if (grams > most) return `This card ends at ${most} g: make several batches, each counted by itself, or open lesson 02.`;
    return grams;
  };

  // --- the state: the gate is asked anew each time, the inputs are remembered ---
  const KEY = `kitchenlib-card-${t.name}`;
  let lost = "";
  const chosen = (name) => document.querySelector(`input[name="${name}"]:checked`)?.value;
  const path = () => t.gate.map((_, n) => chosen(`gate${n}`)).filter(Boolean).join(", ");
  const gate = () => {
    const way = t.gate.map((_, n) => chosen(`gate${n}`));
    if (t.name === "ice" && way[0] === t.gate[0][1][0]) way[1] ??= t.gate[1][1][0];        // none in the room: any room will do
    return way.includes(undefined) ? null : t.gates[way.join("|")] ?? {};
  };
  const state = () => ({ grams: read($("batch").value), product: t.products.findIndex(([key]) => key === $("product").value),
    condition: t.conditions.indexOf(chosen("condition")), gate: gate() });
  const rows = (s) => t.answers[s.gate?.egg ? t.gate[0][1].indexOf(s.gate.egg) : 0][s.product][s.condition];

  // --- one answer at one batch ---
  const place = (value, grams) => {                          // of the listed batch that counts: itself, or the more careful neighbour
    const upper = t.batches.findIndex((batch) => batch >= grams), lower = Math.max(upper - 1, 0);
    if (t.batches[upper] === grams) return upper;
    const [low, high] = [value.numbers[lower], value.numbers[upper]];
    return (value.way === "down" ? low <= high : low > high) ? lower : upper;
  };
  const answer = ([label, says, note, values, gated], grams, gate) => {
    const listed = values.find((value) => value.numbers), at = listed ? place(listed, grams) : null;
    let step = 1;
    const text = (value) => {
      if (typeof value === "number") return t.texts[value];
      if (value.numbers) return t.texts[value.texts[at]];
      if (value.count) return String(stepped(value.count * grams, value.step, value.way));
      step = Math.min(step, scale(value.grams * grams));
      return mass(value.grams * grams, value.way);
    };
    let words = t.texts[says].replace(/\{(\d)\}/g, (_, n) => text(values[n]));
    if (gated && !gate) words = "not told before the room is";
    else if (gated && gate.told) words = gate.told;
    else if (gated && listed.numbers[at] * 1000 > gate.vessel) words = gate.over;
    return { label: t.texts[label], words, note: t.texts[note], at, step, quiet: gated && words !== t.texts[listed.texts[at]] };
  };

  // --- showing ---
  const show = () => {
    const s = state(), box = $("answers");
    const open = all("#answers details").map((one) => one.open);
    $("gate-words").textContent = s.gate?.words ?? "";
    $("ask").hidden = s.gate === null && t.gate.length > 0;
    all("fieldset.gate").forEach((one, n) => { one.hidden = !!s.gate && t.gate.length > 0 || n > 0 && !chosen("gate0"); });
    $("change").hidden = !t.gate.length || !s.gate;
    $("change").textContent = `${path()}: change`;
    box.textContent = $("which").textContent = "";
    const trouble = $("ask").hidden ? "" : typeof s.grams === "string" ? s.grams : "";
    const found = s.product < 0 ? null : rows(s);
    $("trouble").textContent = $("ask").hidden ? "" : lost || (s.product < 0
      ? "No row for that: put it on your shelf from its supplier's sheet and make this card again, or take the typical one." : trouble || (typeof found === "number" ? t.texts[found] : ""));
    $("trouble").className = $("batch").value || s.product < 0 ? "" : "calm";
    wall(s);
    if ($("trouble").textContent || $("ask").hidden) return;
    const batches = new Set();
    found.map((row) => answer(row, s.grams, s.gate)).forEach((one, n) => {
      const item = make("details", "", box, { open: !!open[n], className: one.words.length > 14 ? "" : "half" }), head = make("summary", "", item);
      make("small", one.label, head);
      make("b", one.words, head, { className: one.quiet || one.words.length > 26 ? "words" : "" });
      make("p", (one.step < 1 ? `Take a scale that shows ${one.step} g. ` : "") + one.note, item);
      if (one.at !== null && t.batches[one.at] !== s.grams) batches.add(`${one.label.toLowerCase()}: as for ${t.batches[one.at]} g`);
    });
    if (batches.size) $("which").textContent = `Between two batches worked out, the more careful one counts: ${[...batches].join("; ")}.`;
  };

  // --- the card on the wall: what is chosen now, batch by batch ---
  const wall = (s) => {
    const to = $("wall-body");
    to.textContent = "";
    const found = s.product < 0 ? null : rows(s);
    if (!Array.isArray(found)) return make("p", "No row for the chosen product.", to);
    make("p", `${t.products[s.product][0]}. ${document.querySelector("fieldset.condition legend").textContent} ${t.conditions[s.condition]}. ${path()}${path() && ". "}${s.gate?.words ?? (t.gate.length ? t.gate.map(([question]) => question).join("; ") + ": not chosen." : "")}`, to);
    const table = make("table", "", to), head = make("tr", "", make("thead", "", table)), body = make("tbody", "", table);
    make("th", "batch", head, { scope: "col" });
    found.forEach((row) => make("th", t.texts[row[0]], head, { scope: "col" }));
    t.wall.forEach((grams) => {
      const line = make("tr", "", body);
      make("th", `${grams} g`, line, { scope: "row" });
      found.forEach((row) => make("td", answer(row, grams, s.gate).words, line));
    });
    make("p", found.map((row) => `${t.texts[row[0]]}: ${t.texts[row[2]]}`).join(" "), to);
    make("p", "Between two rows take the more careful one; only grams may be scaled.", to);
  };

  // --- listening and remembering ---
  const remember = () => { try { localStorage.setItem(KEY, JSON.stringify([$("batch").value, $("product").value, chosen("condition")])); } catch { /* a phone may refuse */ } };
  try {
    const [batch, product, condition] = JSON.parse(localStorage.getItem(KEY)) ?? [];
    if (batch) $("batch").value = batch;
    if (product && t.products.some(([key]) => key === product)) $("product").value = product;
    else if (product) { lost = `"${product}" has no row in this card any more: choose another.`; }
    all('input[name="condition"]').forEach((one) => { one.checked = t.conditions.includes(condition) ? one.value === condition : one.checked; });
  } catch { /* nothing remembered */ }
  document.addEventListener("input", () => { lost = ""; show(); remember(); });
  const turn = (wrong) => { $("wrong").hidden = !wrong; document.querySelector("main").hidden = $("gone").hidden = wrong; };
  $("change").onclick = () => { all("fieldset.gate input").forEach((one) => { one.checked = false; }); show(); all("fieldset.gate input")[0].focus(); };
  $("gone").onclick = () => turn(true);
  $("back").onclick = () => turn(false);
  $("print").onclick = () => window.print();
  addEventListener("beforeprint", () => all("#wrong details").forEach((one) => { one.open = true; }));
  addEventListener("afterprint", () => all("#wrong details").forEach((one) => { one.open = false; }));
  show();
})();
