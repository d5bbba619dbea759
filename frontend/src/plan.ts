// The plan to take hold of: what stands on it is placed, dragged with snap, moved by keys or typed.
// Sums here are those of drawing; every length that is kept is reckoned and written by the desk.

import type { JobView, ThingView } from "./api";
import { Aim, TOOLS, type Tool } from "./aim";
import { button, h, notice, s, type Child } from "./dom";
import { Hand } from "./hand";
import { LAID, LaidJoints } from "./joints";
import { crowded, cutMark, dimensions, jointMarks } from "./marks";
import { thingPanel } from "./panel";
import type { Sheet } from "./sheet";
import { Under } from "./under";
import { View, type Point } from "./view";

const CORNER_PX = 8;
const ORDER = ["outline", "edge", "block_outs", "strips", "walls", "pads", "pipes", "embeds", LAID, "forbidden", "joints", "posts"];
export const WORDS: Record<string, string> = {
  outline: "outline", edge: "edge", block_outs: "block-outs", strips: "strips", walls: "walls", pads: "pads", pipes: "pipes", embeds: "bolts", laid: "joints as laid",
  joints: "joint lines kept", forbidden: "joint lines forbidden", posts: "posts",
};
const SNAPS: Record<string, [string, number][]> = {
  US: [["1/8 in", 0.003175], ["1 in", 0.0254], ["6 in", 0.1524], ["1 ft", 0.3048]],
  SI: [["5 mm", 0.005], ["10 mm", 0.01], ["50 mm", 0.05], ["100 mm", 0.1]],
};

/** What is held: a thing, and one of its points; ALL of them where it goes as a whole. */
export interface Picked {
  section: string;
  number: number;
  point: number;
}
export const ALL = -1;

/** What a pointer can take hold of at a place. */
export interface Grip {
  thing: ThingView;
  point: number;
}

export class LivingPlan {
  readonly element: HTMLElement;
  readonly view = new View();
  readonly panel = h("div", { class: "panel", "aria-live": "polite" });
  readonly below = h("div", { class: "cut" });
  job!: JobView;
  picked: Picked | null = null;
  private hidden = new Set<string>();
  private snap: Record<string, number> = { US: 1, SI: 1 };
  private bar = h("div", { class: "tools", role: "toolbar", "aria-label": "The plan" });
  private hand: Hand;
  private aim: Aim;
  private under: Under;
  readonly laid: LaidJoints;
  private waiting: JobView | null = null;
  private reached: Record<string, number> = {};
  private here: Grip[] = [];

  constructor(readonly sheet: Sheet) {
    this.hand = new Hand(this);
    this.aim = new Aim(this);
    this.under = new Under(this);
    this.laid = new LaidJoints(this);
    this.view.element.addEventListener("pointerdown", (event) => this.press(event));
    this.view.watch(() => { if (this.job) this.draw(); });
    this.element = h(
      "section",
      { class: "plan", "aria-label": "Plan" },
      this.bar,
      h("div", { class: "plan-room" }, h("div", { class: "plan-sheet" }, this.view.element, this.under.legend), this.panel),
      this.below,
    );
  }

  show(job: JobView): void {
    if (this.hand.dragging) {
      this.waiting = job;
      return;
    }
    const changed = !this.job || this.job.family !== job.family;
    this.job = job;
    this.laid.lay(job.things);
    this.view.frame(job.things.flatMap((one) => [...one.points_m, ...one.around_m.flat()]));
    if (changed || this.bar.childElementCount === 0) this.showBar();
    this.draw();
    this.showPanel();
  }

  /** What stands on the plan: of the job file, and the joints that the plan lays. */
  get things(): ThingView[] {
    return [...this.job.things, ...this.laid.things];
  }

  /** Every answer is in: a map that lies under the plan is drawn anew. Over once nothing more is drawn by itself. */
  async settled(): Promise<void> {
    await Promise.allSettled([this.under.again(), this.laid.drawn, this.aim.cutAgain()]);
  }

  private showBar(): void {
    const snaps = SNAPS[this.job.family] ?? [];
    const snap = h("select", { "aria-label": "Snap to", onchange: () => (this.snap[this.job.family] = snap.selectedIndex) }, snaps.map(([words], number) => h("option", { selected: number === this.snap[this.job.family] }, words)));
    const layers = h("details", { class: "layers" }, h("summary", {}, "Layers"));
    const layerBox = h("div", { class: "drop-down" });
    layers.append(layerBox);
    for (const section of ORDER.filter((one) => one !== "outline")) {
      const box = h("input", { type: "checkbox", checked: !this.hidden.has(section) });
      box.addEventListener("change", () => {
        if (box.checked) this.hidden.delete(section);
        else this.hidden.add(section);
        this.draw();
      });
      layerBox.append(h("label", {}, box, WORDS[section] ?? section));
    }
    const add = h("details", { class: "layers adds" }, h("summary", {}, "Add"));
    const choose = (tool: Tool) => (event: MouseEvent): void => {
      add.removeAttribute("open");
      this.take(tool, event.detail === 0);
    };
    add.append(h("div", { class: "drop-down" }, TOOLS.filter((one) => one.adds).map((tool) => h("button", { type: "button", onclick: choose(tool) }, tool.words))));
    for (const one of [add, layers]) {
      one.addEventListener("keydown", (event) => {
        if (event.key !== "Escape" || !one.open) return;
        one.open = false;
        one.querySelector("summary")?.focus();
      });
      one.addEventListener("focusout", (event) => {
        if (event.relatedTarget instanceof Node && !one.contains(event.relatedTarget)) one.open = false;
      });
    }
    this.bar.replaceChildren(
      h("h2", {}, "Plan"),
      add,
      ...TOOLS.filter((one) => !one.adds).map((tool) => h("button", { type: "button", onclick: choose(tool) }, tool.words)),
      h("label", { class: "snap" }, "Snap ", snap),
      layers,
      this.under.chooser,
      h("span", { class: "spring" }),
      button("Larger", () => this.zoom(1.3), { "aria-label": "Draw it larger" }),
      button("Smaller", () => this.zoom(1 / 1.3), { "aria-label": "Draw it smaller" }),
      button("Whole", () => { this.view.whole(); this.draw(); }),
      button("See the body", () => void this.body()),
    );
  }

  private zoom(by: number): void {
    this.view.zoom(by);
    this.draw();
  }

  private async body(): Promise<void> {
    const { seeBody } = await import("./body");
    await seeBody(this.sheet.job);
  }

  /** Take up a tool, or none; ``typing`` where it was chosen by keys. */
  take(tool: Tool | null, typing = false): void {
    this.aim.take(tool);
    this.picked = null;
    this.view.element.classList.toggle("aiming", tool !== null);
    this.draw();
    this.showPanel();
    if (typing) this.panel.querySelector("input")?.focus();
  }

  // --- drawing ---

  draw(): void {
    const focused = document.activeElement?.getAttribute("data-thing");
    const groups = ORDER.filter((section) => !this.hidden.has(section)).map((section) => this.layer(section)).filter((one) => one !== null);
    const street = s("text", { class: "street", x: 8, y: this.view.height - 10 }, `street side: ${this.job.street_side}`);
    this.view.show(groups, ...dimensions(this.view, this.job), street, this.aim.first ? [this.cross(this.aim.first)] : [], this.aim.cutAt ? cutMark(this.view, this.aim.cutAt) : "", this.heldMark());
    if (focused) this.group(focused)?.focus({ preventScroll: true });
  }

  group(id: string): SVGGElement | null {
    return this.view.element.querySelector<SVGGElement>(`[data-thing="${id}"]`);
  }

  /** The point that is held, over whatever lies on it. */
  private heldMark(): Child {
    const thing = this.things.find((one) => this.isPicked(one));
    const at = thing && thing.shape !== "point" && thing.section !== "edge" && !this.hidden.has(thing.section) ? thing.points_m[this.picked?.point ?? ALL] : undefined;
    if (!at) return "";
    const [cx, cy] = this.view.out(at);
    return s("circle", { class: "held-mark", cx, cy, r: 7 });
  }

  private cross(at: Point): SVGElement {
    const [x, y] = this.view.out(at);
    return s("path", { class: "aim", d: `M${x - 7} ${y}h14M${x} ${y - 7}v14` });
  }

  path(points: Point[], closed: boolean): string {
    return points.map((one, number) => `${number ? "L" : "M"}${this.view.out(one).map((part) => part.toFixed(1)).join(" ")}`).join("") + (closed ? "Z" : "");
  }

  /** All things of a kind. The tab key comes to one of them, and Page Up and Down lead from there to the others. */
  private layer(section: string): SVGGElement | null {
    const things = this.things.filter((one) => one.section === section);
    if (!things.length) return null;
    const reached = Math.min(this.picked?.section === section ? things.findIndex((one) => this.isPicked(one)) : (this.reached[section] ?? 0), things.length - 1);
    const layer = s("g", { class: `layer${crowded(this.view, section, things) ? " crowded" : ""}`, role: "group", "aria-label": `${WORDS[section] ?? section}, ${things.length}` });
    layer.append(...things.map((one, number) => this.thing(one, number === Math.max(reached, 0))));
    return layer;
  }

  /** Go to another thing of the same kind: so many on, or to the first or last. */
  go(thing: ThingView, by: number): void {
    const things = this.things.filter((one) => one.section === thing.section);
    const next = things[Math.max(0, Math.min(things.indexOf(thing) + by, things.length - 1))];
    if (!next) return;
    this.pick(next, 0);
    this.group(idOf(next))?.focus({ preventScroll: true });
  }

  private thing(thing: ThingView, inTabs: boolean): SVGElement {
    const picked = this.isPicked(thing);
    const group = s("g", {
      class: `thing ${thing.section}${picked ? " picked" : ""}${thing.fixed ? " fixed" : ""}`,
      "data-thing": idOf(thing),
      tabindex: inTabs ? "0" : "-1",
      role: "button",
      "aria-keyshortcuts": "PageDown PageUp Home End",
      "aria-label": spoken(thing),
      "aria-pressed": String(picked),
    });
    group.append(...thing.around_m.map((ring) => s("path", { class: "around", d: this.path(ring, true) })));
    if (thing.shape !== "point") {
      const line = this.path(thing.points_m, thing.shape === "ring");
      group.append(s("path", { class: "grip", d: line }), s("path", { class: "line", d: line }));
    } else if (thing.section === "pads") {
      const [x, y] = this.view.out(thing.points_m[0] as Point);
      const top = Math.min(...thing.around_m.flat().map((one) => this.view.out(one)[1]));
      group.append(s("circle", { class: "grip", cx: x, cy: y, r: 12 }), s("path", { class: "centre", d: `M${x - 4} ${y}h8M${x} ${y - 4}v8` }), s("text", { class: "name", x, y: top - 5 }, thing.name));
    }
    if (thing.section === LAID || thing.section === "forbidden") group.append(...jointMarks(this.view, thing));
    if (thing.shape !== "point" && thing.section !== "edge" && thing.section !== LAID && (thing.section === "outline" || picked)) {
      thing.points_m.forEach((point, number) => {
        const [x, y] = this.view.out(point);
        const held = picked && (this.picked?.point === number || this.picked?.point === ALL);
        group.append(s("circle", { class: `corner${held ? " held" : ""}`, "data-point": number, cx: x, cy: y, r: picked ? 6 : 4 }));
      });
    }
    group.addEventListener("focus", () => { if (!this.aim.tool && !this.hand.dragging) this.pick(thing, picked ? (this.picked?.point ?? 0) : 0, false); });
    group.addEventListener("keydown", (event) => this.hand.key(event as KeyboardEvent, thing));
    return group;
  }

  // --- picking ---

  isPicked(thing: ThingView): boolean {
    return this.picked?.section === thing.section && this.picked.number === thing.number;
  }

  pick(thing: ThingView, held: number, redraw = true): void {
    const point = thing.section === LAID ? ALL : held;
    const same = this.isPicked(thing) && this.picked?.point === point;
    this.picked = { section: thing.section, number: thing.number, point };
    this.reached[thing.section] = this.things.filter((one) => one.section === thing.section).indexOf(thing);
    if (!this.here.some((one) => this.isHeld(one))) this.here = [];
    if (!same || redraw) {
      this.draw();
      this.showPanel();
    }
  }

  /** Take hold of what was just put on the plan, with the keyboard on it where it was typed. */
  pickMade(section: string, at: Point, byKeys: boolean): void {
    const made = this.job.things.filter((one) => one.section === section).at(-1);
    if (!made) return;
    this.pick(made, section === "outline" ? nearest(made, at) : made.shape === "point" ? 0 : ALL);
    if (byKeys) this.group(idOf(made))?.focus({ preventScroll: true });
  }

  /** Everything under the pointer, the topmost first: a corner where it is on one, else the thing. */
  private grips(event: PointerEvent): Grip[] {
    const found: Grip[] = [];
    const at = this.view.into(event);
    for (const one of document.elementsFromPoint(event.clientX, event.clientY)) {
      const id = this.view.element.contains(one) ? one.closest<SVGGElement>("[data-thing]")?.dataset["thing"] : undefined;
      const thing = this.things.find((other) => idOf(other) === id);
      if (!thing || found.some((other) => other.thing === thing)) continue;
      const corner = one.getAttribute("data-point");
      const line = thing.section === "outline" ? nearest(thing, at) : thing.shape === "point" || thing.section === "edge" ? 0 : ALL;
      found.push({ thing, point: corner === null ? line : Number(corner) });
    }
    return found;
  }

  private isHeld(grip: Grip): boolean {
    return this.isPicked(grip.thing) && (this.picked?.point === grip.point || this.picked?.point === ALL);
  }

  /** Take hold of one of the things under the pointer. */
  private hold(grip: Grip): void {
    if (document.activeElement instanceof SVGElement) document.activeElement.blur();
    this.pick(grip.thing, grip.point);
    this.group(idOf(grip.thing))?.focus({ preventScroll: true });
  }

  /** The grid that drawn places are put on: its words and its step in metres. */
  step(): [string, number] {
    return (SNAPS[this.job.family] ?? [])[this.snap[this.job.family] ?? 1] ?? ["1 in", 0.0254];
  }

  snapped(at: Point): Point {
    const [, step] = this.step();
    return [Math.round(at[0] / step) * step, Math.round(at[1] / step) * step];
  }

  private press(event: PointerEvent): void {
    if (event.button !== 0) return;
    const at = this.view.into(event);
    if (this.aim.tool) {
      event.preventDefault();
      void this.aim.at(this.snapped(at));
      return;
    }
    const grips = this.grips(event);
    const held = grips.findIndex((one) => this.isHeld(one));
    const grip = grips[Math.max(held, 0)];
    if (!grip) {
      this.here = [];
      this.pan(event);
      return;
    }
    event.preventDefault();
    this.here = grips;
    const next = held >= 0 && grips.length > 1 ? grips[(held + 1) % grips.length] : undefined;
    const onLine = grip.thing.section === "outline" && !this.onCorner(event, grip);
    if (onLine) this.pick(grip.thing, grip.point);
    if (onLine && next) this.hold(next);
    if (!onLine) this.hand.drag(event, grip.thing, grip.point, at, () => { if (next) this.hold(next); });
    this.here = grips;
    this.showPanel();
  }

  /** Whether a corner is under the pointer: of a line between two nothing is to be dragged. */
  private onCorner(event: PointerEvent, grip: Grip): boolean {
    const at = this.view.out(grip.thing.points_m[grip.point] as Point);
    const here = this.view.out(this.view.into(event));
    return Math.hypot(at[0] - here[0], at[1] - here[1]) <= CORNER_PX;
  }

  private pan(event: PointerEvent): void {
    const from: Point = [event.clientX, event.clientY];
    if (this.picked) this.take(null);
    this.view.follow(event, (move) => {
      this.view.pan(move.clientX - from[0], move.clientY - from[1]);
      from[0] = move.clientX;
      from[1] = move.clientY;
      this.draw();
    });
  }

  /** What came in while something was dragged. */
  letGo(): void {
    const late = this.waiting;
    this.waiting = null;
    if (late) this.show(late);
  }

  // --- edits ---

  async move(thing: ThingView, point: number, where: Record<string, unknown>): Promise<void> {
    const whole = point === ALL;
    const to = where["to_m"] as Point | undefined;
    const from = thing.points_m[0];
    if (thing.section === LAID) {
      if (to && from) await this.laid.moved(thing, to[0] - from[0], to[1] - from[1]);
      return;
    }
    this.said(await this.sheet.edit("moveThing", "POST", { section: thing.section, number: thing.number, point: Math.max(point, 0), whole, ...where }));
  }

  async remove(thing: ThingView, point: number | null = null): Promise<void> {
    if (thing.section === LAID) {
      await this.laid.wish("forbidden", thing.points_m);
      return;
    }
    const refusal = await this.sheet.edit("removeThing", "POST", { section: thing.section, number: thing.number, point });
    if (!refusal && this.picked) this.take(null);
    this.said(refusal);
  }

  said(refusal: string): void {
    if (!refusal) return;
    notice(refusal, "refused");
    this.draw();
    this.showPanel();
  }

  showPanel(): void {
    if (this.panel.contains(document.activeElement) && document.activeElement?.matches("input, select, textarea")) return;
    const thing = this.things.find((one) => this.isPicked(one));
    this.panel.replaceChildren(...(this.aim.tool ? this.aim.panel(this.aim.tool) : thing ? [...(thing.section === LAID ? this.laid.panel(thing) : thingPanel(this, thing)), ...this.others()] : [HINT()]));
  }

  /** What else lies where the pointer took hold. */
  private others(): Node[] {
    const others = this.here.filter((one) => !this.isPicked(one.thing));
    if (!others.length) return [];
    const words = (one: Grip): string => one.thing.name + (one.thing.section === "outline" && one.point !== ALL ? `, corner ${one.point + 1}` : "");
    const each = others.map((one) => button(words(one), () => this.hold(one), { class: "quiet" }));
    return [h("p", { class: "small" }, "Lies here too; click the plan again to take hold of it: "), h("p", { class: "buttons here" }, ...each)];
  }
}

const HINT = (): Child & Node =>
  h("p", { class: "small" }, "Take hold of a pad, a post, a wall, a joint, the edge or a corner: drag it, move it with the arrow keys, or type where it stands. Page Up and Page Down lead to the next of its kind; the full stop leads to its next point.");

export function idOf(thing: ThingView): string {
  return `${thing.section}-${thing.number}`;
}

function nearest(thing: ThingView, at: Point): number {
  const far = thing.points_m.map(([x, y]) => Math.hypot(x - at[0], y - at[1]));
  return far.indexOf(Math.min(...far));
}

/** What a thing is and where it stands, for who cannot see it. */
function spoken(thing: ThingView): string {
  if (thing.section === LAID) return `joint ${thing.name}, ${thing.sides?.[0] ?? ""}`;
  const [first = ["", ""], last = first]: [string, string][] = thing.texts.length > 1 ? [thing.texts[0] as [string, string], thing.texts.at(-1) as [string, string]] : thing.texts;
  const kind = WORDS[thing.section] ?? "";
  const drawn = thing.section === "forbidden" ? "no joint: " : "";
  const at = ([east, north]: [string, string]): string => `${east} east, ${north} north`;
  const where = thing.points_m.length === 1 ? at(first) : thing.points_m.length === 2 ? `from ${at(first)} to ${at(last)}` : `${thing.points_m.length} points`;
  return `${drawn}${thing.name}${kind && !thing.name.includes(kind.slice(0, 4)) ? ` (${kind})` : ""}, ${where}`;
}
