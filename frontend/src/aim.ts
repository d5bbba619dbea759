// Tools that are aimed at the plan: things to add, a section to cut, a distance to measure. A place is clicked or typed.

import { paths, type MeasureView, type PointView, type SectionCut } from "./api";
import { address, get } from "./client";
import { button, drawing, h, notice, s } from "./dom";
import type { LivingPlan } from "./plan";
import type { Point } from "./view";

export interface Tool {
  key: string;
  words: string;
  points: 1 | 2;
  say: [string, string];
  adds: boolean;
  grid?: boolean;
}

const adds = (key: string, words: string, first: string, second = ""): Tool => ({ key, words, points: second ? 2 : 1, say: [first, second], adds: true });
const grid = (key: string, words: string): Tool => ({ ...adds(key, words, "The centre of the first, in one corner of the grid.", "The centre of the last, in the opposite corner."), grid: true });

export const TOOLS: Tool[] = [
  adds("pads", "Add a pad", "Its centre."),
  grid("pads", "Add a grid of pads"),
  adds("posts", "Add a post", "Its centre."),
  grid("posts", "Add a grid of posts"),
  adds("walls", "Add a wall", "Where it begins.", "Where it ends."),
  adds("strips", "Add a strip", "Where it begins.", "Where it ends."),
  adds("pipes", "Add a pipe that comes up", "Where it comes up."),
  adds("pipes", "Add a pipe below the floor", "Where it begins.", "Where it ends."),
  adds("embeds", "Add bolts", "The first bolt.", "The last bolt."),
  adds("block_outs", "Add a block-out", "One corner.", "The opposite corner."),
  adds("joints", "Put a joint line", "Where it begins.", "Where it ends."),
  adds("forbidden", "Forbid a joint line", "Where it would begin.", "Where it would end."),
  adds("outline", "Add a corner", "Where the outline is to turn."),
  { ...adds("cut", "Cut a section", "Where the cut begins.", "Where it ends."), adds: false },
  { ...adds("measure", "Measure", "From here.", "To here."), adds: false },
];

export class Aim {
  tool: Tool | null = null;
  first: Point | null = null;
  /** Where the section that is shown was cut. */
  cutAt: [Point, Point] | null = null;
  private typed = false;
  private counts: [string, string] = ["2", "2"];

  constructor(private plan: LivingPlan) {}

  take(tool: Tool | null): void {
    this.tool = tool;
    this.first = null;
    this.typed = false;
  }

  /** A place was given; what the tool is for is done with the last one. */
  async at(at: Point): Promise<void> {
    const { tool, plan } = this;
    if (!tool) return;
    if (tool.points === 2 && !this.first) {
      this.first = at;
      plan.draw();
      (document.activeElement as HTMLElement | null)?.blur();
      plan.showPanel();
      if (this.typed) plan.panel.querySelector("input")?.focus();
      return;
    }
    const points = this.first ? [this.first, at] : [at];
    const snap = this.typed ? "" : plan.step()[0];
    const [columns, rows] = this.counts.map((one) => Math.max(1, Math.round(Number(one)) || 1)) as [number, number];
    (document.activeElement as HTMLElement | null)?.blur();
    const byKeys = this.typed;
    plan.take(null);
    if (tool.key === "cut") await this.cut(points as [Point, Point], byKeys);
    else if (tool.key === "measure") await this.measure(points as [Point, Point], byKeys);
    else {
      const [a, b] = points as [Point, Point];
      const ring = tool.key === "block_outs" ? [a, [b[0], a[1]], b, [a[0], b[1]]] : points;
      const refusal = await plan.sheet.edit("placeThing", "POST", { section: tool.key, points_m: ring, snap, ...(tool.grid ? { columns, rows } : {}) });
      if (!refusal) plan.pickMade(tool.key, a, byKeys);
      plan.said(refusal);
    }
  }

  panel(tool: Tool): Node[] {
    const east = h("input", { id: "aim-east", type: "text", autocomplete: "off" });
    const north = h("input", { id: "aim-north", type: "text", autocomplete: "off" });
    const said = h("p", { class: "refusal", role: "alert" });
    const form = h("form", { class: "typed" }, h("label", { for: "aim-east" }, "east"), east, h("label", { for: "aim-north" }, "north"), north, h("button", { type: "submit" }, "There"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      get<PointView>(address(paths.readTypedPoint, { job: this.plan.sheet.job }, { east: east.value, north: north.value }))
        .then((found) => {
          this.typed = true;
          return this.at(found.at_m);
        })
        .catch((error: unknown) => { said.textContent = error instanceof Error ? error.message : String(error); });
    });
    form.addEventListener("keydown", (event) => { if (event.key === "Escape") this.plan.take(null); });
    return [
      h("h3", {}, tool.words),
      tool.grid ? this.countForm() : "",
      h("p", {}, tool.say[this.first ? 1 : 0]),
      form,
      said,
      button("Leave it", () => this.plan.take(null), { class: "quiet" }),
    ].filter((one): one is HTMLElement => one !== "");
  }

  private countForm(): HTMLElement {
    const fields = ["west to east", "south to north"].map((words, axis) => {
      const id = `aim-count-${axis}`;
      const input = h("input", { id, type: "number", min: "1", max: "200", value: this.counts[axis] });
      input.addEventListener("input", () => (this.counts[axis as 0 | 1] = input.value));
      return [h("label", { for: id }, words), input];
    });
    return h("div", { class: "typed" }, fields.flat());
  }

  /** The section that is shown, anew: the concrete has changed. */
  async cutAgain(): Promise<void> {
    if (this.cutAt) await this.cut(this.cutAt, false);
  }

  private async cut([a, b]: [Point, Point], byKeys: boolean): Promise<void> {
    const { below, sheet } = this.plan;
    const putAway = (): void => {
      this.cutAt = null;
      below.replaceChildren();
      this.plan.draw();
    };
    try {
      const found = await get<SectionCut>(address(paths.readCut, { job: sheet.job }, { x1: a[0], y1: a[1], x2: b[0], y2: b[1] }));
      const away = button("Put it away", putAway, { class: "quiet" });
      this.cutAt = [a, b];
      this.plan.draw();
      below.replaceChildren(
        h("figure", {}, h("div", { class: "large-drawing" }, drawing(found.svg)), h("figcaption", {}, `Section along the line drawn: ${found.area} of concrete over ${found.length}.`, away)),
      );
      if (byKeys) away.focus();
    } catch (error) {
      notice(error instanceof Error ? error.message : String(error), "refused");
    }
  }

  private async measure([a, b]: [Point, Point], byKeys: boolean): Promise<void> {
    const { panel, sheet, view } = this.plan;
    try {
      const found = await get<MeasureView>(address(paths.readMeasure, { job: sheet.job }, { x1: a[0], y1: a[1], x2: b[0], y2: b[1] }));
      panel.replaceChildren(
        h("h3", { tabindex: "-1" }, found.distance),
        h("p", {}, `${found.along_x} east and ${found.along_y} north.`),
        h("p", {}, `Concrete: ${found.thickness[0]} thick at the first point, ${found.thickness[1]} at the second.`),
      );
      if (byKeys) panel.querySelector("h3")?.focus();
      const [x1, y1, x2, y2] = [...view.out(a), ...view.out(b)];
      view.over(s("path", { class: "measured", d: `M${x1} ${y1}L${x2} ${y2}` }));
    } catch (error) {
      notice(error instanceof Error ? error.message : String(error), "refused");
    }
  }
}
