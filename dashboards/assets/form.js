// What stands in a form of the Write page, and what follows from a choice in it. Nothing here asks the program.
(function () {
  // An input that React draws once and then leaves to the person.
  window.ledger = {
    Typed: ({ tag, attributes }) => window.React.createElement(tag, { ...attributes, key: attributes.id }),
  };

  const element = (id) => document.getElementById(id);
  const inputs = (of) => [...of.querySelectorAll("input, textarea")];
  const isChoice = (input) => input.type === "radio" || input.type === "checkbox";
  const stem = (of, input) => input.id.slice(of.id.length);
  const standing = (of) => inputs(of).map((input) => [stem(of, input), isChoice(input) ? input.checked : input.value]);
  const restore = (of, pairs) =>
    pairs.forEach(([id, value]) => {
      const input = element(of.id + id);
      if (!input) return;
      if (isChoice(input)) input.checked = value;
      else input.value = value;
    });

  // What stays in this tab; where the browser keeps nothing, there is nothing
  const store = (doing) => {
    try {
      return doing(window.sessionStorage);
    } catch (refused) {
      return null;
    }
  };

  // What was typed, by key: choices with commas between them, a length with its unit unless
  // the owner's heading names that one
  function typed(of) {
    const parts = {};
    for (const input of inputs(of)) {
      if (!input.name || (isChoice(input) && !input.checked)) continue;
      const key = input.name.split(":")[0];
      const part = input.dataset.part || "main";
      ((parts[key] = parts[key] || {})[part] = parts[key][part] || []).push(input.value.trim());
      if (input.dataset.bare) parts[key].bare = input.dataset.bare;
    }
    const told = {};
    for (const [key, { main = [], half, time, unit, bare }] of Object.entries(parts)) {
      let text = main.filter(Boolean).join(", ");
      if (half) text = (text || "0") + ".5";
      if (time && time[0] && text) text += " " + time[0];
      if (unit && unit[0] !== bare && text && !/[a-z"'″]/i.test(text)) text += " " + unit[0];
      told[key] = text;
    }
    of.querySelectorAll("[data-field]").forEach((field) => (told[field.dataset.field] ??= ""));
    return told;
  }

  // What follows from a choice: the grades of the scale, the unit of a fraction, the line that says how somebody looked

  const isFraction = (text) => /[\/⁄¼½¾⅛⅜⅝⅞]/.test(text) && !/[a-z"'″]/i.test(text);
  function adapt(of) {
    for (const input of of.querySelectorAll(".figure input[type=text]")) {
      const inches = isFraction(input.value) && element(`${input.id}-in-in`);
      if (inches) inches.checked = true;
    }
    const scale = of.querySelector("input[name=scale]:checked")?.value || of.dataset.scale;
    of.classList.toggle("long-scale", scale === "0-10");
    if (scale !== "0-10")
      of.querySelectorAll(".beyond input:checked").forEach((input) => (input.checked = false));
    const looked = element("looked");
    if (!looked) return;
    const chosen = [...element("fold-look").querySelectorAll("input:checked, input[type=text]")];
    const said = chosen.filter((input) => input.value).map((input) => input.closest("[data-said]").dataset.said + input.value);
    looked.textContent = said.join(", ");
  }

  function alone(input) {
    if (input.type !== "checkbox" || !input.checked || input.dataset.part) return;
    const others = [...input.closest("fieldset").querySelectorAll("input")].filter((other) => other !== input);
    others.filter((other) => input.dataset.alone || other.dataset.alone).forEach((other) => (other.checked = false));
  }

  // The day as the device has it: a page may be older than the day
  function today(of) {
    of.querySelectorAll("input[data-today]").forEach((input) => (input.value = daysBack(0)));
  }
  function daysBack(days) {
    const day = new Date();
    day.setDate(day.getDate() - days);
    const two = (number) => String(number).padStart(2, "0");
    return `${day.getFullYear()}-${two(day.getMonth() + 1)}-${two(day.getDate())}`;
  }

  window.ledgerForm = { isChoice, standing, restore, store, typed, adapt, alone, today, daysBack };
})();
