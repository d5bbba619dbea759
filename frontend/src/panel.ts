// Beside the plan: what is held, where it stands, how long its sides are, what it is made like; all of it can be typed.

import type { ThingView } from "./api";
import { button, h, type Child } from "./dom";
import { entryRows } from "./inputs";
import { ALL, type LivingPlan } from "./plan";

/** Joint lines that were wished, and how the wish is taken back. */
const WISHED = new Map([["joints", "Keep it no longer"], ["forbidden", "Allow a line here again"]]);

export function thingPanel(plan: LivingPlan, thing: ThingView): Node[] {
  const point = Math.min(plan.picked?.point ?? 0, thing.points_m.length - 1);
  const entry = thing.section === "edge" ? "edge" : ["outline", "joints", "forbidden", "block_outs"].includes(thing.section) ? "" : thing.path.split(".")[0] ?? "";
  const corner = thing.points_m.length > 1 && !WISHED.has(thing.section) && thing.points_m.length > (thing.shape === "ring" ? 3 : 2);
  return [
    h("h3", {}, thing.name),
    ...(thing.section === "edge" ? [] : [place(plan, thing, point)]),
    entry ? h("div", { class: "made-like" }, entryRows(plan.sheet, entry, `held-${thing.section}`)) : "",
    h(
      "p",
      { class: "buttons" },
      corner && point !== ALL && thing.section !== "edge" ? button("Take this corner out", () => void plan.remove(thing, point), { class: "quiet" }) : "",
      ["outline", "edge"].includes(thing.section) || thing.fixed ? "" : button(WISHED.get(thing.section) ?? "Take it out", () => void plan.remove(thing), { class: "quiet" }),
    ),
    h("p", { class: "small" }, "In the job file: ", h("span", { class: "path" }, thing.path)),
  ].filter((one): one is HTMLElement => one !== "");
}

function place(plan: LivingPlan, thing: ThingView, point: number): HTMLElement {
  if (thing.fixed) return h("p", { class: "small" }, "Stands on a pad and moves with it.");
  const texts = thing.texts[Math.max(point, 0)] ?? ["", ""];
  const fields: Child[] = (["east", "north"] as const).map((axis, number) => {
    const put = (value: string): void => {
      const to = [texts[0], texts[1]];
      to[number] = value;
      void plan.move(thing, point, { to });
    };
    return typed(`at-${axis}`, axis, texts[number] ?? "", put);
  });
  const side = thing.sides[point];
  if (side !== undefined) fields.push(typed("side-length", thing.shape === "line" ? "length" : `side to ${((point + 1) % thing.points_m.length) + 1}`, side, (value) => void plan.move(thing, point, { length: value })));
  return h("div", {}, points(plan, thing, point), h("div", { class: "typed" }, fields));
}

function typed(id: string, words: string, value: string, put: (value: string) => void): Child[] {
  const input = h("input", { id, type: "text", value, autocomplete: "off" });
  input.addEventListener("keydown", (event) => {
    if (event.key === "Enter") { event.preventDefault(); input.blur(); }
    if (event.key === "Escape") { input.value = value; input.blur(); }
  });
  input.addEventListener("change", () => { if (input.value !== value) put(input.value); });
  return [h("label", { for: id }, words), input];
}

/** Which point is held; all of them where the thing goes as a whole. */
function points(plan: LivingPlan, thing: ThingView, point: number): Child {
  if (thing.points_m.length < 2) return "";
  const one = (number: number, words: string, spoken: string): HTMLElement =>
    button(words, () => plan.pick(thing, number), { "aria-pressed": String(number === point), "aria-label": spoken });
  const each = thing.points_m.map((_, number) => one(number, String(number + 1), `Point ${number + 1}`));
  return h("p", { class: "corners" }, h("span", { class: "small" }, thing.shape === "ring" ? "Corner" : "Point"), each, thing.section === "outline" ? "" : one(ALL, "all", "All of it"));
}
