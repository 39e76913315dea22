const prefix = Math.random().toString(36).slice(2);          // each view has a module, and a count, of its own
let count = 0;
export default { render({ model, el }) {
  el.classList.add("k-form"); el.dataset.lmSuppressShortcuts = "true";
  el.addEventListener("keydown", (event) => event.stopPropagation());
  const make = (tag, more = {}, to = el) => to.appendChild(Object.assign(document.createElement(tag), more));
  const form = make("form", { noValidate: true });
  const inputs = {};
  for (const field of model.get("fields")) {
    const id = `k-form-${prefix}-${++count}`;
    const row = make("p", {}, form);
    make("label", { textContent: field.label, htmlFor: id }, row);
    const input = inputs[field.name] = make(field.options ? "select" : "input", { id, name: field.name }, row);
    for (const option of field.options || []) make("option", { value: option, textContent: option || "–" }, input);
    if (!field.options) { input.type = "text"; input.autocomplete = "off"; }
    input.value = field.value || "";
    if (field.hint) { const hint = make("small", { id: `${id}-hint`, textContent: field.hint }, row); input.setAttribute("aria-describedby", hint.id); }
  }
  make("button", { type: "submit", textContent: model.get("button") }, form);
  const message = make("p"); message.setAttribute("role", "status");
  const trouble = make("p"); trouble.setAttribute("role", "alert");
  const holder = make("div", { className: "k-form-table" });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const values = Object.fromEntries(Object.entries(inputs).map(([name, input]) => [name, input.value]));
    model.set("sent", { turn: (model.get("sent").turn || 0) + 1, values }); model.save_changes();
  });
  const say = () => { message.textContent = model.get("message"); trouble.textContent = model.get("trouble"); };
  const list = () => {
    holder.replaceChildren();
    const rows = model.get("table"); if (rows.length < 2) return;
    holder.tabIndex = 0; holder.setAttribute("role", "region"); holder.setAttribute("aria-label", "what stands there now");
    const table = make("table", {}, holder);
    rows.forEach((cells, i) => { const tr = make("tr", {}, table); cells.forEach((c) => make(i ? "td" : "th", { textContent: c }, tr)); });
  };
  model.on("change:message", say); model.on("change:trouble", say); model.on("change:table", list);
  say(); list();
} };
