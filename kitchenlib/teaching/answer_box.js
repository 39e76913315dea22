const PATIENCE = 8000;                                       // ms: then the page looks whether its kernel still lives
const KEY = "kitchen-who";                                   // a visitor's id in this tab, for the next page
const prefix = Math.random().toString(36).slice(2);          // each view has a module, and a count, of its own
let count = 0;
// On the kitchen network a visitor says who answers: once in a tab, for all boxes of all its pages
const askWho = (model, make) => {
  const form = make("form", { className: "k-answer-who", noValidate: true });
  const known = make("p", { className: "k-answer-known" });
  const trouble = make("p"); trouble.setAttribute("role", "alert");
  const fields = ["Student id", "Class code"].map((textContent) => {
    const id = `k-answer-${prefix}-${++count}`;
    make("label", { textContent, htmlFor: id }, form);
    const input = make("input", { id, type: "text", autocomplete: "off", spellcheck: false, maxLength: 80 }, form);
    input.setAttribute("autocapitalize", "off");
    return input;
  });
  make("button", { type: "submit", textContent: "This is me" }, form);
  make("small", { textContent: "Without them an answer is checked and forgotten." }, form);
  const say = (who) => { model.set("said", { turn: (model.get("said").turn || 0) + 1, who }); model.save_changes(); };
  form.addEventListener("submit", (event) => { event.preventDefault(); say(fields.map((field) => field.value)); });
  const show = () => {
    const who = model.get("who");
    form.hidden = who.length > 0; known.hidden = !who.length; known.replaceChildren();
    trouble.textContent = model.get("who_trouble");
    if (!who.length) return;
    sessionStorage.setItem(KEY, JSON.stringify(who));
    known.append(`Answering as ${who[0]}, class ${who[1]}. `);
    make("button", { type: "button", textContent: "Somebody else" }, known).addEventListener("click", () => { form.hidden = false; known.hidden = true; fields[0].focus(); });
  };
  model.on("change:who", show); model.on("change:who_trouble", show); show();
  const before = JSON.parse(sessionStorage.getItem(KEY) || "null");
  if (before && !model.get("who").length) say(before);
};
export default { render({ model, el }) {
  el.classList.add("k-answer"); el.dataset.lmSuppressShortcuts = "true";
  el.setAttribute("role", "group"); el.setAttribute("aria-label", `Answer: ${model.get("title")}`);
  el.addEventListener("keydown", (event) => event.stopPropagation());
  const make = (tag, more = {}, to = el) => to.appendChild(Object.assign(document.createElement(tag), more));
  const send = (text) => {
    const turn = (model.get("sent").turn || 0) + 1;
    model.set("sent", { turn, text: text.slice(0, 200) }); model.save_changes();
    setTimeout(() => { if (model.get("heard") < turn) document.dispatchEvent(new Event("k-silent")); }, PATIENCE);
  };
  if (model.get("asks_who")) askWho(model, make);
  const own = make("p", { className: "k-answer-own" });
  const showQuestion = () => {
    own.hidden = !model.get("question"); own.replaceChildren();
    make("strong", { textContent: "Your own question: " }, own);
    own.append(model.get("question"));
  };
  model.on("change:heard", () => document.dispatchEvent(new Event("k-heard")));
  model.on("change:question", showQuestion); showQuestion();
  const form = make("form", { noValidate: true });
  form.addEventListener("submit", (event) => event.preventDefault());
  let showTyped;
  if (model.get("words").length) {
    const set = make("fieldset", {}, form);
    make("legend", { textContent: "Your answer" }, set);
    const buttons = model.get("words").map((word) => {
      const button = make("button", { type: "button", textContent: word }, set);
      button.addEventListener("click", () => send(word));
      return button;
    });
    showTyped = () => buttons.forEach((button) => button.setAttribute("aria-pressed", button.textContent === model.get("typed")));
  } else {
    const id = `k-answer-${prefix}-${++count}`;
    make("label", { textContent: model.get("label"), htmlFor: id }, form);
    const input = make("input", { id, type: "text", autocomplete: "off", spellcheck: false }, form);
    input.setAttribute("autocapitalize", "off");
    make("button", { type: "submit", textContent: "Check" }, form);
    form.addEventListener("submit", () => send(input.value));
    showTyped = () => { input.value = model.get("typed"); };
  }
  const verdict = make("p"); verdict.setAttribute("role", "status");
  const note = make("p", { className: "k-answer-note" }); note.setAttribute("role", "alert");
  const steps = make("div", { className: "k-answer-steps" });
  const showVerdict = () => {
    const [word, hint] = model.get("verdict");
    verdict.replaceChildren(); verdict.dataset.verdict = word || "";
    if (!word) return;
    make("strong", { textContent: word.charAt(0).toUpperCase() + word.slice(1) + (hint ? ": " : ".") }, verdict);
    verdict.append(hint || "");
  };
  const showSteps = () => {
    steps.replaceChildren();
    if (!model.get("steps").length) return;
    make("p", { textContent: "The worked way:", className: "k-answer-head" }, steps);
    const list = make("ol", {}, steps);
    for (const step of model.get("steps")) make("li", { textContent: step }, list);
  };
  // "blank: ... in place of None" is for who sees the code, and only until the box has been used
  const hideBlank = () => {
    const said = el.closest(".jp-OutputArea")?.querySelector(".jp-RenderedText");
    if (!said?.textContent.trimStart().startsWith("blank:")) return;
    const code = el.closest(".jp-Cell")?.querySelector(".jp-InputArea");
    said.closest(".jp-OutputArea-child").style.display = code && !model.get("verdict").length ? "" : "none";
  };
  const showNote = () => { note.textContent = model.get("note"); };
  model.on("change:typed", showTyped); model.on("change:verdict", () => { showVerdict(); hideBlank(); });
  model.on("change:steps", showSteps); model.on("change:note", showNote);
  showTyped(); showVerdict(); showSteps(); showNote();
  for (const wait of [0, 300, 2000]) setTimeout(hideBlank, wait);       // the view is put into the page some time after this
} };
