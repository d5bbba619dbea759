// The joint lines as the plan lays them, to take hold of on the living plan: kept, put elsewhere or forbidden, each as a wish in the job file.

import { paths, type JointLineView, type ThingView } from "./api";
import { address, get } from "./client";
import { button, h } from "./dom";
import type { LivingPlan } from "./plan";

export const LAID = "laid";
const SAME_M = 0.02;

export class LaidJoints {
  things: ThingView[] = [];
  private found: JointLineView[] = [];
  private read = "";
  private reading: Promise<void> = Promise.resolve();

  constructor(private plan: LivingPlan) {}

  /** Read anew once the question of the joints has another answer; ``digest`` is that of the answer. */
  again(digest: string): Promise<void> {
    if (digest !== this.read) this.reading = this.fetch((this.read = digest));
    return this.reading;
  }

  /** Until those of the latest answer are drawn. */
  get drawn(): Promise<void> {
    return this.reading;
  }

  private async fetch(digest: string): Promise<void> {
    this.found = digest ? await get<JointLineView[]>(address(paths.readJoints, { job: this.plan.sheet.job })).catch(() => []) : [];
    if (digest === this.read && this.plan.job) this.plan.show(this.plan.job);
  }

  /** Those that no wish lies on already. */
  lay(wished: ThingView[]): void {
    const free = this.found.filter((one) => !wished.some((wish) => wish.section === "joints" && liesOn(one.points_m, wish.points_m)));
    this.things = free.map((one, number): ThingView => ({
      section: LAID, number, name: one.name, shape: "line", path: "", points_m: one.points_m, texts: [["", ""], ["", ""]], around_m: [], sides: [one.said], fixed: false,
    }));
  }

  panel(thing: ThingView): Node[] {
    const line = this.found.find((one) => one.name === thing.name);
    return [
      h("h3", {}, `Joint ${thing.name}`),
      h("p", {}, `${line?.said ?? ""}. The plan lays it here by itself.`),
      h(
        "p",
        { class: "buttons" },
        button("Keep it here", () => void this.wish("joints", thing.points_m), { class: "main" }),
        button("Forbid a line here", () => void this.wish("forbidden", thing.points_m)),
      ),
      h("p", { class: "small" }, "Drag it, or move it with the arrow keys, to have the line elsewhere; Delete forbids it."),
    ];
  }

  /** A line wished: kept where it is drawn, or forbidden. */
  async wish(section: "joints" | "forbidden", points_m: ThingView["points_m"]): Promise<void> {
    const refusal = await this.plan.sheet.edit("placeThing", "POST", { section, points_m, snap: "" });
    const byKeys = document.activeElement === document.body || document.activeElement instanceof SVGElement;
    if (!refusal) this.plan.pickMade(section, [0, 0], byKeys);
    this.plan.said(refusal);
  }

  /** A line dragged elsewhere is kept there. */
  async moved(thing: ThingView, dx: number, dy: number): Promise<void> {
    await this.wish("joints", thing.points_m.map(([x, y]) => [x + dx, y + dy]));
  }
}

/** Whether both ends of a line lie on another. */
function liesOn(line: readonly (readonly [number, number])[], other: readonly (readonly [number, number])[]): boolean {
  const [a, b] = other;
  if (!a || !b) return false;
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const long = Math.hypot(dx, dy) || 1;
  return line.every(([x, y]) => {
    const along = ((x - a[0]) * dx + (y - a[1]) * dy) / long;
    return Math.abs((x - a[0]) * dy - (y - a[1]) * dx) / long < SAME_M && along > -SAME_M && along < long + SAME_M;
  });
}
