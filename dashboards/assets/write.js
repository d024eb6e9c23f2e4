// What the Write page does by itself: it gathers what was typed, asks the program what it makes of it, saves it once,
// and keeps it in this tab until it is saved. The form itself is never drawn anew while something stands in it.
(function () {
  const { isChoice, standing, restore, store, typed, adapt, alone, today, daysBack } = window.ledgerForm;
  const { ask } = window.ledgerAsk;
  const SURE_FOR = 5000;
  const client = (window.dash_clientside = window.dash_clientside || {});
  const element = (id) => document.getElementById(id);
  const form = () => document.querySelector("form.entry");
  const show = (id, children) => client.set_props(id, { children });
  const newEntry = () => Date.now().toString(36) + Math.random().toString(36).slice(2);

  let entry = newEntry(); // the same name for every try to save the same entry
  let filled = {}; // what was filled in for the horse that was chosen
  let fresh = ""; // what stood in the form before anybody touched it
  let allowed = {}; // what may be added for this entry, once the person has said so
  let busy = false, looking = false, lookAgain = false, looks = 0;

  let toldOf = ""; // the entry, as it stood, that the program has last looked at

  const touched = () => form() && JSON.stringify(standing(form())) !== fresh;

  let begun = {}; // what was typed before anybody touched it: a change of a record sends what differs from that
  function sent(of) {
    const row = Number(of.dataset.row) || null;
    const all = Object.entries(typed(of));
    const told = row ? all.filter(([key, text]) => text !== begun[key]) : all.filter(([, text]) => text);
    return { sheet: of.dataset.sheet, row, seen: JSON.parse(of.dataset.seen), once: entry, typed: Object.fromEntries(told) };
  }

  // A draft stays in this tab, with its entry's name, until it is saved or begun afresh; the draft of a change
  // belongs to the record as it was shown. Where the browser keeps nothing, there is none.

  const place = (of) => `entry ${of.dataset.workbook} ${of.dataset.keptAs} ${of.dataset.seen}`;
  const keep = (of) => store((kept) => kept.setItem(place(of), JSON.stringify({ entry, standing: standing(of) })));
  const forget = (of) => store((kept) => kept.removeItem(place(of)));
  const draftOf = (of) => store((kept) => JSON.parse(kept.getItem(place(of))));

  function begin(of) {
    of.dataset.ready = of.id;
    today(of);
    entry = newEntry();
    filled = {};
    allowed = {};
    begun = typed(of);
    fresh = JSON.stringify(standing(of));
    const draft = draftOf(of);
    element("restored").hidden = !draft;
    if (draft) {
      entry = draft.entry;
      restore(of, draft.standing);
    }
    adapt(of);
    toldOf = "";
    sayAtHand(of);
    if (draft) look();
  }

  const pulsesRaised = (said) => Object.keys(said).filter((key) => key.startsWith("pulse_") && Number(said[key]) >= 2).length;
  function lameInBothFronts({ limb = "", score }) {
    const limbs = limb.split(", ");
    const both = ["both fronts", "all"].some((word) => limbs.includes(word)) || ["LF", "RF"].every((foot) => limbs.includes(foot));
    return both && Number(score) > 0;
  }

  // What always calls for a vet stands in the page: it is shown until the program has looked at the entry
  function sayAtHand(of) {
    const all = element("at-hand");
    if (!all) return;
    const said = typed(of);
    said.scale = said.scale || of.dataset.scale;
    const fits = ({ raised, fronts, ...when }) =>
      (!raised || pulsesRaised(said) >= raised) &&
      (!fronts || lameInBothFronts(said)) &&
      Object.entries(when).every(([key, text]) => said[key]?.split(", ").includes(text));
    const blind = toldOf !== JSON.stringify(sent(of));
    let any = false;
    all.querySelectorAll("[data-when]").forEach((part) => {
      part.hidden = !fits(JSON.parse(part.dataset.when));
      any ||= !part.hidden;
    });
    all.querySelectorAll("[data-horse]").forEach((part) => (part.hidden = part.dataset.horse !== said.horse));
    all.hidden = !(any && blind);
    element("advice").hidden = !all.hidden;
  }

  // A page that was left open overnight begins with the new day, as long as nobody has touched it
  document.addEventListener("visibilitychange", () => {
    const of = form();
    if (!of || document.hidden || touched()) return;
    today(of);
    fresh = JSON.stringify(standing(of));
  });

  document.addEventListener("change", (event) => {
    const of = event.target.closest?.("form.entry");
    if (!of) return;
    alone(event.target);
    changed(of);
    look();
  });
  document.addEventListener("input", (event) => event.target.closest?.("form.entry") && changed(form()));

  function changed(of) {
    adapt(of);
    sayAtHand(of);
    if (touched()) keep(of);
    else forget(of);
  }

  // Questions to the program

  async function look() {
    if (looking || busy) return void (lookAgain = true);
    const of = form();
    const number = ++looks;
    looking = true;
    lookAgain = false;
    try {
      const asked = sent(of);
      const told = await ask("/look", asked);
      const stands = JSON.stringify(asked) === JSON.stringify(sent(of));
      if (number === looks && !busy && form() === of && !of.hidden) {
        wrong(of, told.fields);
        if (!told.blind) show("advice", told.advice || "");
        usually(of, told.usual, told.scale);
        if (stands && !told.blind) toldOf = JSON.stringify(sent(of));
        sayAtHand(of);
      }
    } catch (stopped) {
      // Saving says it; the page's own watch does too
    } finally {
      looking = false;
      if (lookAgain) look();
    }
  }

  // How this horse is usually looked at goes where nobody has chosen anything else
  function usually(of, usual, scale) {
    if (of.dataset.row || !usual) return;
    const already = touched();
    of.dataset.scale = scale;
    const now = typed(of);
    for (const [key, text] of Object.entries(usual)) {
      const untouched = now[key] === (filled[key] ?? begun[key]);
      const field = of.querySelector(`details.look [data-field="${key}"]`);
      if (!field || !untouched) continue;
      field.querySelectorAll("input").forEach((input) => {
        if (isChoice(input)) input.checked = input.value === text;
        else input.value = text;
      });
      filled[key] = text;
    }
    adapt(of);
    if (already) keep(of);
    else fresh = JSON.stringify(standing(of));
  }

  function wrong(of, fields) {
    of.querySelectorAll("[data-field]").forEach((field) => {
      const told = fields[field.dataset.field] || [];
      const before = field.classList.contains("has-wrong");
      field.classList.toggle("has-wrong", told.length > 0);
      field.classList.toggle("has-error", told.some((part) => part.props.className.includes("error")));
      field
        .querySelectorAll("input:not([type=radio]), textarea")
        .forEach((input) => (told.length ? input.setAttribute("aria-invalid", "true") : input.removeAttribute("aria-invalid")));
      if (told.length || before) show(`wrong-${field.dataset.field}`, told);
    });
  }

  function saving(now) {
    busy = now;
    const button = element("save");
    if (!button) return;
    button.textContent = now ? "Saving …" : "Save";
    button.setAttribute("aria-disabled", String(now));
  }

  async function save(more) {
    const of = form();
    if (busy || !of || of.hidden) return;
    Object.assign(allowed, more);
    saving(true);
    looks++;
    show("message", "");
    try {
      saved(of, await ask("/enter", { ...sent(of), ...allowed }));
    } catch (failure) {
      show("message", unanswered(of, failure.message));
    } finally {
      saving(false);
    }
  }

  function unanswered(of, status) {
    if (status === "413") return "This is longer than a cell can hold. Shorten it, then press Save.";
    if (/^\d+$/.test(status))
      return `The program did not take this (${status}), so it is not saved. It stays here: load this page again, then press Save.`;
    const command = `soundness open ${of.dataset.workbook} --port ${location.port}`;
    return `The program does not answer, so it is not known whether this is saved. It stays here. Start the program again with: ${command} – then press Save: it is written once.`;
  }

  function saved(of, told) {
    if (form() !== of) return void (told.answer && forget(of));
    if (!told.answer) {
      allowed = {}; // asked again for what is amended
      wrong(of, told.fields);
      if (told.advice) show("advice", told.advice);
      show("message", told.message || "");
      const first = of.querySelector(".has-error") || of.querySelector(".has-wrong");
      for (let fold = first?.closest("details"); fold; fold = null) fold.open = true;
      first?.querySelector("input, textarea")?.focus({ preventScroll: true });
      first?.scrollIntoView({ block: "center" });
      return;
    }
    forget(of);
    of.hidden = true;
    element("restored").hidden = true;
    wrong(of, {});
    show("advice", "");
    answered(told.answer);
  }

  let toFocus = false;
  function answered(children) {
    toFocus = true;
    show("answer", children);
    client.set_props("stamp", { data: newEntry() }); // what waits is said at once
  }

  async function undo(button) {
    if (busy) return;
    busy = true;
    button.setAttribute("aria-disabled", "true");
    try {
      const told = await ask("/undo", { entry: button.dataset.entry });
      if (told.state === "taken back") {
        entry = newEntry();
        form().hidden = false;
        keep(form());
      }
      answered(told.answer || told.message);
    } catch (stopped) {
      button.textContent = "Undo: the program does not answer, try again";
      button.removeAttribute("aria-disabled");
    } finally {
      busy = false;
    }
  }

  // A fresh form comes from the program: with the day, and with what goes on by now
  function again() {
    looks++;
    forget(form());
    client.set_props("held", { data: "" });
    client.set_props("stamp", { data: newEntry() });
    window.scrollTo(0, 0);
    element("page").focus({ preventScroll: true });
  }

  function set(input, text) {
    input.value = text;
    input.dispatchEvent(new Event("change", { bubbles: true }));
    input.focus();
  }

  // What waits is taken back only by a second tap, since it is gone then
  let sure = "";
  function askedTwice() {
    const button = document.querySelector(`[data-do="drop"][data-entry="${sure}"]`);
    if (button && button.textContent !== button.dataset.sure) button.textContent = button.dataset.sure;
  }
  async function drop(button) {
    if (sure === button.dataset.entry) {
      await ask("/undo", { entry: sure }).catch(() => null); // what still waits is shown as before
    } else {
      sure = button.dataset.entry;
      const asked = button.textContent;
      askedTwice();
      await new Promise((later) => setTimeout(later, SURE_FOR));
      button.textContent = asked;
    }
    sure = "";
    client.set_props("stamp", { data: newEntry() });
  }

  const doing = {
    drop,
    save: (button) => save({ [button.dataset.with]: true }),
    undo,
    again,
    afresh: again,
    clear: (button) => {
      const field = button.closest("fieldset");
      field.querySelectorAll("input").forEach((input) => (input.checked = false));
      const first = field.querySelector("input");
      first.dispatchEvent(new Event("change", { bubbles: true }));
      first.focus();
    },
    day: (button) => set(element(button.dataset.for), daysBack(Number(button.dataset.back))),
    word: (button) => set(element(button.dataset.for), button.textContent),
  };
  document.addEventListener("click", (event) => {
    const button = event.target.closest?.("[data-do]");
    if (button) doing[button.dataset.do]?.(button); // other pages have buttons of their own
  });
  // Enter in a line of text would save a note that is only half made
  document.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.closest?.("form.entry") && event.target.tagName === "INPUT") event.preventDefault();
  });
  document.addEventListener("submit", (event) => {
    event.preventDefault();
    save({});
  });

  new MutationObserver(() => {
    const of = form();
    if (of && of.dataset.ready !== of.id) begin(of);
    if (sure) askedTwice();
    const heading = toFocus && document.querySelector("#answer [data-focus]");
    if (!heading) return;
    toFocus = false;
    heading.focus({ preventScroll: true });
    window.scrollTo(0, 0);
  }).observe(document.body, { childList: true, subtree: true });
})();
