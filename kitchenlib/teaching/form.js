const prefix = Math.random().toString(36).slice(2);          // each view has a module, and a count, of its own
const PATIENCE = 8000;                                       // ms: then the page looks whether its kernel still lives
let count = 0;
// A table to type into, one for each word of the choice `by`: another line where the last is used, and a paste from a spreadsheet spreads.
const grid = (field, by, holder, make) => {
  const typed = {};
  let now, body;
  const rows = () => [...body.rows].map((line) => [...line.querySelectorAll("input")].map((cell) => cell.value));
  const add = (values = []) => {
    const line = make("tr", {}, body), number = body.rows.length;
    make("th", { scope: "row", textContent: number }, line);
    field.grid[now].heading.forEach((name, i) => {
      const cell = make("input", { type: "text", autocomplete: "off", value: values[i] || "" }, make("td", {}, line));
      cell.setAttribute("aria-label", `row ${number}, ${name}`);
    });
  };
  const lay = () => {
    if (now) typed[now] = rows();
    now = by.value;
    holder.replaceChildren();
    make("strong", { textContent: field.label }, holder);
    const table = make("table", {}, holder), head = make("tr", {}, make("thead", {}, table));
    body = make("tbody", {}, table);
    ["", ...field.grid[now].heading].forEach((name) => make("th", { scope: "col", textContent: name }, head));
    (typed[now] || field.grid[now].rows).forEach(add);
    while (body.rows.length < field.empty) add();
    make("small", { textContent: field.hint }, holder);
  };
  holder.setAttribute("role", "group"); holder.setAttribute("aria-label", field.label);
  holder.addEventListener("input", (event) => { if (body.lastChild.contains(event.target)) add(); });
  holder.addEventListener("paste", (event) => {
    const text = event.clipboardData.getData("text").replace(/\r?\n$/, "");
    if (!/[\t\n]/.test(text)) return;
    event.preventDefault();
    const at = event.target.closest("tr").sectionRowIndex, from = event.target.closest("td").cellIndex - 1;
    text.split(/\r?\n/).forEach((line, i) => {
      while (body.rows.length < at + i + 2) add();
      const cells = body.rows[at + i].querySelectorAll("input");
      line.split("\t").forEach((word, k) => { if (cells[from + k]) cells[from + k].value = word.trim(); });
    });
  });
  by.addEventListener("change", lay); lay();
  return { get value() { return rows(); } };
};
export default { render({ model, el }) {
  el.classList.add("k-form"); el.dataset.lmSuppressShortcuts = "true";
  el.addEventListener("keydown", (event) => event.stopPropagation());
  const make = (tag, more = {}, to = el) => to.appendChild(Object.assign(document.createElement(tag), more));
  const form = make("form", { noValidate: true });
  const inputs = {};
  for (const field of model.get("fields")) {
    if (field.grid) { inputs[field.name] = grid(field, inputs[field.by], make("div", { className: "k-form-grid" }, form), make); continue; }
    const id = `k-form-${prefix}-${++count}`;
    const row = make("p", {}, form);
    make("label", { textContent: field.label, htmlFor: id }, row);
    const input = inputs[field.name] = make(field.options ? "select" : "input", { id, name: field.name }, row);
    for (const option of field.options || []) make("option", { value: option, textContent: option || "–" }, input);
    if (!field.options) { input.type = "text"; input.autocomplete = "off"; }
    input.value = field.value || "";
    if (field.hint) { const hint = make("small", { id: `${id}-hint`, textContent: field.hint }, row); input.setAttribute("aria-describedby", hint.id); }
  }
  if (model.get("fields").length) make("button", { type: "submit", textContent: model.get("button") }, form);
  const message = make("p"); message.setAttribute("role", "status");
  const trouble = make("p"); trouble.setAttribute("role", "alert");
  const holder = make("div", { className: "k-form-table" });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const values = Object.fromEntries(Object.entries(inputs).map(([name, input]) => [name, input.value]));
    const turn = (model.get("sent").turn || 0) + 1;
    model.set("sent", { turn, values }); model.save_changes();
    setTimeout(() => { if (model.get("heard") < turn) document.dispatchEvent(new Event("k-silent")); }, PATIENCE);
  });
  const say = () => { message.textContent = model.get("message"); trouble.textContent = model.get("trouble"); };
  const list = () => {
    holder.replaceChildren();
    const rows = model.get("table"); if (rows.length < 2) return;
    holder.tabIndex = 0; holder.setAttribute("role", "region"); holder.setAttribute("aria-label", "what stands there now");
    const table = make("table", {}, holder);
    rows.forEach((cells, i) => { const tr = make("tr", {}, table); cells.forEach((c) => make(i ? "td" : "th", { textContent: c }, tr)); });
  };
  model.on("change:heard", () => document.dispatchEvent(new Event("k-heard")));
  model.on("change:message", say); model.on("change:trouble", say); model.on("change:table", list);
  say(); list();
} };
