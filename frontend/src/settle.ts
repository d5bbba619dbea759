// A clash between good rules, settled where it is told: what was chosen, by whom, and when.

import type { OpenStrip } from "./api";
import { h } from "./dom";
import type { Sheet } from "./sheet";

export function toSettle(sheet: Sheet, open: OpenStrip): HTMLElement[] {
  const clashes = open.to_settle ?? [];
  if (!clashes.length) return [];
  const choice = h("select", { id: "settle-choice" });
  const clash = h("select", { id: "settle-clash" }, clashes.map((one) => h("option", { value: one.clash }, one.clash)));
  const by = h("input", { id: "settle-by", type: "text", autocomplete: "off" });
  const on = h("input", { id: "settle-on", type: "date" });
  const said = h("p", { class: "refusal", role: "alert" });
  const show = (): void => choice.replaceChildren(...(clashes.find((one) => one.clash === clash.value)?.choices ?? []).map((one) => h("option", { value: one }, one)));
  clash.addEventListener("change", show);
  show();
  const labelled: [string, HTMLElement][] = [["The clash", clash], ["What was chosen", choice], ["Who decided", by], ["On the day", on]];
  const form = h("form", { class: "to-settle" }, labelled.flatMap(([words, field]) => [h("label", { for: field.id }, words), field]), h("button", { type: "submit" }, "Settle it"));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void (async () => {
      said.textContent = by.value.trim() && on.value ? "" : "Write who decided and on which day.";
      if (said.textContent) return;
      const [first, ...others] = [["clash", clash.value], ["choice", choice.value], ["by", by.value.trim()], ["on", on.value]] as [string, string][];
      const next = (sheet.view.sections.find((one) => one.key === "decisions")?.entries.length ?? 0) + 1;
      const changes = Object.fromEntries([[`decisions[+].${first?.[0]}`, first?.[1]], ...others.map(([key, value]) => [`decisions[${next}].${key}`, value])]);
      said.textContent = await sheet.change(changes, `Settled: ${clash.value}`);
    })();
  });
  return [h("section", { class: "block" }, h("h4", {}, "Write a decision down"), form, said)];
}
