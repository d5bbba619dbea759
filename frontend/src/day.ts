// The pour day: levers to try it otherwise, and what the tickets say while it goes.

import { paths, type LeverView, type LiveView, type WhatIfView } from "./api";
import { address, get } from "./client";
import { h } from "./dom";

/** One slider each; the figures beside it are those of the desk, on the same simulated days as the plan. */
export function levers(job: string): HTMLElement {
  const rows = h("div", { class: "levers" });
  const figures = h("div", { class: "wide" });
  const note = h("p", { class: "small" });
  const box = h("details", { class: "block what-if" }, h("summary", {}, h("h4", {}, "Try the day otherwise")), rows, figures, note);
  const tried = new Map<string, number>();
  let asking = false;
  let again = false;

  const ask = async (): Promise<void> => {
    again = asking;
    if (asking) return;
    asking = true;
    try {
      show(await get<WhatIfView>(address(paths.readWhatIf, { job }, Object.fromEntries(tried))));
    } catch (error) {
      note.textContent = error instanceof Error ? error.message : String(error);
    }
    asking = false;
    if (again) void ask();
  };

  const show = (found: WhatIfView): void => {
    if (rows.childElementCount === 0) rows.append(...found.levers.map(lever));
    for (const one of found.levers) {
      const said = rows.querySelector(`[data-lever="${one.key}"] output`);
      if (said) said.textContent = one.said;
    }
    figures.replaceChildren(
      h(
        "table",
        { class: "plain" },
        h("thead", {}, h("tr", {}, h("td"), ["as planned", "tried"].map((one) => h("th", { scope: "col", class: "number" }, one)))),
        h("tbody", {}, found.figures.map((one) => h("tr", { class: one.moved ? "moved" : "" }, h("th", { scope: "row" }, one.name), h("td", { class: "number" }, one.planned), h("td", { class: "number" }, one.tried)))),
      ),
    );
    note.textContent = found.note;
  };

  const lever = (one: LeverView): HTMLElement => {
    const id = `lever-${one.key}`;
    const slider = h("input", { id, type: "range", min: one.low, max: one.high, step: one.step });
    slider.value = String(one.value);
    slider.addEventListener("input", () => {
      tried.set(one.key, Number(slider.value));
      void ask();
    });
    return h("div", { class: "lever", "data-lever": one.key }, h("label", { for: id }, one.words), slider, h("output", { for: id }, one.said));
  };

  box.addEventListener("toggle", () => { if (box.open) void ask(); });
  return box;
}

/** While it goes: told from the tickets beside the job; nothing where there are none. */
export async function whileItGoes(job: string, into: HTMLElement): Promise<void> {
  const now = h("input", { id: "live-now", type: "text", placeholder: "the last stamp", autocomplete: "off" });
  const filled = h("input", { id: "live-filled", type: "text", placeholder: "not measured", autocomplete: "off" });
  const list = h("ul", { class: "plain-list" });
  const said = h("p", { class: "refusal", role: "alert" });
  const ask = async (): Promise<boolean> => {
    said.textContent = "";
    try {
      const found = await get<LiveView>(address(paths.readLive, { job }, { now: now.value, filled: filled.value }));
      list.replaceChildren(...found.sentences.map((one) => h("li", {}, one)), ...found.findings.map((one) => h("li", { class: "small" }, `${one.where} ${one.message}`)));
      return found.sentences.length > 0;
    } catch (error) {
      said.textContent = error instanceof Error ? error.message : String(error);
      return true;
    }
  };
  if (!(await ask())) {
    into.replaceChildren();
    return;
  }
  for (const one of [now, filled]) one.addEventListener("change", () => void ask());
  into.replaceChildren(
    h("section", { class: "block" }, h("h4", {}, "While it goes"), list, said,
      h("div", { class: "typed" }, h("label", { for: "live-now" }, "the time now"), now, h("label", { for: "live-filled" }, "drawn volume filled so far"), filled)),
  );
}
