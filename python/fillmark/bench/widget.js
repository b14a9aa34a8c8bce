// The face of the live bench: native controls, which the keyboard reaches, and the pictures that Python sends.
// Nothing is computed here. While an answer is awaited only the latest place of the controls is kept.

function element(name, attributes = {}, text = "") {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.textContent = text;
  return made;
}

function shown(control, value) {
  if (control.kind === "choice") return control.words[value];
  return `${Number(value).toFixed(control.decimals).replace("-", "\u2212")} ${control.unit}`;
}

function slider(control, value, id, moved) {
  const row = element("div", { class: "fm-bench-row" });
  const range = { type: "range", id, "data-control": control.name };
  range.min = control.low;
  range.max = control.high;
  range.step = control.step;
  const input = element("input", range);
  const said = element("output", { for: id });
  const say = () => {
    said.textContent = shown(control, input.value);
    input.setAttribute("aria-valuetext", said.textContent);
  };
  input.value = value;
  say();
  input.addEventListener("input", () => {
    say();
    moved(control.name, Number(input.value));
  });
  row.append(element("label", { for: id }, control.label), input, said);
  return { row, put: (v) => { input.value = v; say(); } };
}

function box(control, value, id, moved) {
  const row = element("div", { class: "fm-bench-row fm-bench-tick" });
  const input = element("input", { type: "checkbox", id, "data-control": control.name });
  input.checked = value;
  input.addEventListener("change", () => moved(control.name, input.checked));
  row.append(input, element("label", { for: id }, control.label));
  return { row, put: (v) => { input.checked = v; } };
}

function render({ model, el }) {
  const root = element("div", { class: "fm-bench", role: "group", "aria-label": model.get("title") });
  const panel = element("fieldset", { class: "fm-bench-panel" });
  panel.append(element("legend", {}, model.get("title")));
  const views = {};
  for (const name of ["section", "stick", "bars"]) views[name] = element("div", { class: `fm-bench-${name}` });
  const words = element("p", { class: "fm-bench-words", "aria-live": "polite", "data-words": "" });
  const caution = element("p", { class: "fm-bench-caution" }, model.get("caution"));

  let moves = { ...model.get("moves") };
  let waiting = false;
  let later = false;
  const send = () => {
    waiting = true;
    later = false;
    model.set("moves", { ...moves, serial: (model.get("moves").serial ?? 0) + 1 });
    model.save_changes();
  };
  const moved = (name, value) => {
    moves[name] = value;
    if (waiting) later = true;
    else send();
  };

  const unique = Math.random().toString(36).slice(2, 8);
  const puts = {};
  for (const control of model.get("controls")) {
    const make = control.kind === "tick" ? box : slider;
    const made = make(control, moves[control.name], `fm-bench-${unique}-${control.name}`, moved);
    puts[control.name] = made.put;
    panel.append(made.row);
  }

  const show = () => {
    const seen = model.get("seen");
    for (const [name, view] of Object.entries(views)) view.innerHTML = seen[name];
    if (words.textContent !== seen.words) words.textContent = seen.words;
    root.setAttribute("data-serial", seen.serial);
    waiting = false;
    if (later) send();
  };
  const follow = () => {
    const now = model.get("moves");
    if (waiting) return;
    moves = { ...now };
    for (const [name, put] of Object.entries(puts)) put(now[name]);
  };
  show();
  model.on("change:seen", show);
  model.on("change:moves", follow);

  const upper = element("div", { class: "fm-bench-upper" });
  const left = element("div", { class: "fm-bench-left" });
  left.append(panel, words);
  upper.append(left, views.stick, views.section);
  root.append(upper, views.bars, caution);
  el.append(root);
  return () => {
    model.off("change:seen", show);
    model.off("change:moves", follow);
  };
}

export default { render };
