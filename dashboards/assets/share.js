// What the page For the vet does by itself: it asks for the letter as its choices stand, shows it, and gives it out.
// Choices and question go in the body of what is sent, never in an address, which a history would keep.
(function () {
  const { standing, restore, store } = window.ledgerForm;
  const { ask, tell } = window.ledgerAsk;
  const PAUSE = 250;
  const element = (id) => document.getElementById(id);
  const form = () => document.querySelector("form.share");
  const box = (of, name) => of.querySelector(`[name=${name}]`);
  const values = (of, name, checked) =>
    [...of.querySelectorAll(`[name=${name}]`)].filter((input) => input.checked === checked).map((input) => input.value);

  // A day that was typed in part stands in no value: it must not pass for an empty field
  const day = (input) => (input.validity.badInput ? "not whole" : input.value);

  function chosen(of) {
    return {
      horse: of.dataset.horse,
      question: box(of, "question").value,
      without: values(of, "parts", false),
      extras: values(of, "extras", true),
      since: day(box(of, "since")),
      until: day(box(of, "until")),
      paper: values(of, "paper", true)[0],
    };
  }

  // What was chosen stays in this tab; where the browser keeps nothing, it does not

  const place = (of) => `share ${of.dataset.workbook} ${of.dataset.horse}`;
  const keep = (of) => store((kept) => kept.setItem(place(of), JSON.stringify(standing(of))));
  const kept = (of) => store((kept) => JSON.parse(kept.getItem(place(of))));

  function unanswered(of, status) {
    if (status === "413") return "The question is longer than can be sent. Shorten it.";
    if (/^\d+$/.test(status)) return `The program did not take this (${status}). What you chose stays here: load this page again.`;
    const command = `soundness open ${of.dataset.workbook} --port ${location.port}`;
    return `The program does not answer. What you chose stays here. Start the program again with: ${command}`;
  }

  // The letter

  let drawing = null; // the question that is under way; a change meanwhile asks once more
  let again = false, later = 0, shownOf = null, copyOf = "";
  let behind = true; // what is shown is not yet, or could not be, as it stands chosen

  function draw() {
    clearTimeout(later);
    again = true;
    drawing ??= drawAll().finally(() => (drawing = null));
    return drawing;
  }

  async function drawAll() {
    while (again && form()) {
      again = false;
      const of = form();
      element("share-letter").setAttribute("aria-busy", "true");
      try {
        const asked = chosen(of);
        const told = await ask("/letter", asked);
        if (form() !== of) continue;
        drawn(of, told);
        behind = JSON.stringify(asked) !== JSON.stringify(chosen(of));
      } catch (failure) {
        if (form() === of) stale(unanswered(of, failure.message));
      }
      element("share-letter")?.removeAttribute("aria-busy");
    }
  }

  function drawn(of, told) {
    const wrong = told.fields || [];
    for (const name of ["since", "until"]) {
      if (wrong.includes(name)) box(of, name).setAttribute("aria-invalid", "true");
      else box(of, name).removeAttribute("aria-invalid");
    }
    say("share-said", told.message || "");
    element("share-letter").hidden = !told.page;
    element("share-text").value = told.text || "";
    if (told.page) show(told.page);
  }

  // What cannot be drawn anew is not to be taken for what would be sent
  function stale(said) {
    const shown = !element("share-letter").hidden;
    say("share-said", shown ? `${said} – The letter below may not be as you chose.` : said);
  }

  function say(id, text) {
    if (element(id).textContent !== text) element(id).textContent = text;
  }

  // The frame is filled once; after that its body is exchanged, so that nothing flickers or jumps
  function show(page) {
    const frame = element("share-letter");
    if (shownOf === frame && copyOf === page) return;
    copyOf = page;
    if (shownOf !== frame || !frame.contentDocument?.querySelector("main")) {
      shownOf = frame;
      frame.addEventListener("load", () => fit(frame), { once: true });
      frame.srcdoc = page;
      return;
    }
    const inside = frame.contentDocument;
    inside.body.replaceWith(inside.adoptNode(new DOMParser().parseFromString(page, "text/html").body));
    fit(frame);
  }

  function fit(frame) {
    const body = frame.contentDocument?.body;
    if (!body) return;
    frame.style.height = `${body.offsetHeight + 2}px`;
    new ResizeObserver(() => (frame.style.height = `${body.offsetHeight + 2}px`)).observe(body);
  }

  // Files

  let made = []; // addresses of what was made; they hold until the page is left
  let busy = false;

  async function fileOf(of, what) {
    const answer = await tell("/make", { ...chosen(of), what });
    const kind = answer.headers.get("Content-Type");
    if (kind.startsWith("application/json")) throw Object.assign(new Error(), { told: (await answer.json()).message });
    const name = decodeURIComponent(answer.headers.get("Content-Disposition").split("filename*=UTF-8''")[1]);
    return new File([await answer.blob()], name, { type: kind });
  }

  async function making(button, doing) {
    const of = form();
    if (busy || !of) return;
    const place = button.closest(".along > div, section").querySelector(".made");
    const words = button.textContent;
    busy = true;
    button.textContent = "Making it …";
    button.setAttribute("aria-disabled", "true");
    place.textContent = "";
    try {
      await doing(of, place);
    } catch (failure) {
      place.textContent = failure.told || unanswered(of, failure.message);
    } finally {
      busy = false;
      button.textContent = words;
      button.removeAttribute("aria-disabled");
    }
    draw(); // the workbook may have changed since the letter was shown
  }

  const download = (what) => async (of, place) => {
    const file = await fileOf(of, what);
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file);
    link.download = link.textContent = file.name;
    made.push(link.href);
    place.replaceChildren("Made: ", link);
    link.click();
  };

  // A browser may ask for a tap of its own once the file is there
  let ready = null;
  const send = (what) => async (of, place) => {
    const asked = JSON.stringify(chosen(of));
    const file = ready?.asked === asked ? ready.file : await fileOf(of, what);
    ready = null;
    try {
      await navigator.share({ files: [file], title: file.name.replace(/\.\w+$/, "") });
      place.textContent = "Given to what you chose.";
    } catch (refused) {
      if (refused.name === "AbortError") return void (place.textContent = "Not sent.");
      if (refused.name === "NotAllowedError") ready = { asked, file };
      place.textContent = ready ? "It is ready: tap Send the PDF once more." : "This browser does not send it. Take the PDF and send it yourself.";
    }
  };

  function canSend() {
    try {
      return navigator.canShare({ files: [new File(["%PDF"], "letter.pdf", { type: "application/pdf" })] });
    } catch (refused) {
      return false;
    }
  }

  async function copy(button) {
    if (behind) await draw();
    const text = element(button.dataset.copy);
    if (!text.value) return say("share-copied", "There is no message to copy.");
    const older = behind ? " The program does not answer, so it may not be as you chose." : "";
    try {
      await navigator.clipboard.writeText(text.value);
      say("share-copied", `Copied.${older}`);
    } catch (refused) {
      text.focus();
      text.select();
      say("share-copied", `This browser does not let a page copy. The message is marked: copy it by hand.${older}`);
    }
  }

  document.addEventListener("click", (event) => {
    const button = event.target.closest?.("button");
    if (!button || !form()) return;
    if (button.dataset.make) making(button, download(button.dataset.make));
    else if (button.dataset.send) making(button, send(button.dataset.send));
    else if (button.dataset.copy) copy(button);
  });

  // The page

  function changed(event, pause) {
    const of = event.target.closest?.("form.share");
    if (!of) return;
    behind = true;
    keep(of);
    say("share-copied", "");
    clearTimeout(later);
    later = setTimeout(draw, pause);
  }
  document.addEventListener("input", (event) => changed(event, PAUSE));
  document.addEventListener("change", (event) => changed(event, 0));

  function begin(of) {
    of.dataset.ready = "yes";
    const before = kept(of);
    if (before) restore(of, before);
    element("share-send").hidden = !canSend();
    draw();
  }

  function left() {
    made.forEach((address) => URL.revokeObjectURL(address));
    made = [];
    shownOf = ready = null;
    behind = true;
  }

  let here = null;
  new MutationObserver(() => {
    const of = form();
    if (here && here !== of) left();
    here = of;
    if (of && !of.dataset.ready) begin(of);
  }).observe(document.body, { childList: true, subtree: true });

  // The workbook, or the day, is another
  window.dash_clientside.ledger.shared = () => void (form()?.dataset.ready && draw());
})();
