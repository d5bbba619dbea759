// The plan to take hold of: what stands on it is placed, dragged with snap, moved by keys or typed.
// Sums here are those of drawing; every length that is kept is reckoned and written by the desk.

import { paths, type JobView, type MeasureView, type SectionCut, type ThingView } from "./api";
import { address, get } from "./client";
import { button, drawing, h, notice, s, type Child } from "./dom";
import type { Sheet } from "./sheet";
import { View, type Point } from "./view";

const ORDER = ["outline", "block_outs", "strips", "walls", "pads", "pipes", "embeds", "joints", "posts"];
const WORDS: Record<string, string> = {
  outline: "outline", block_outs: "block-outs", strips: "strips", walls: "walls", pads: "pads", pipes: "pipes", embeds: "bolts", joints: "joint lines", posts: "posts",
};

interface Tool {
  key: string;
  words: string;
  points: 1 | 2;
  say: [string, string];
}

const TOOLS: Tool[] = [
  { key: "pads", words: "Add a pad", points: 1, say: ["Its centre.", ""] },
  { key: "posts", words: "Add a post", points: 1, say: ["Its centre.", ""] },
  { key: "walls", words: "Add a wall", points: 2, say: ["Where it begins.", "Where it ends."] },
  { key: "strips", words: "Add a strip", points: 2, say: ["Where it begins.", "Where it ends."] },
  { key: "pipes", words: "Add a pipe", points: 1, say: ["Where it comes up.", ""] },
  { key: "embeds", words: "Add bolts", points: 2, say: ["The first bolt.", "The last bolt."] },
  { key: "block_outs", words: "Add a block-out", points: 2, say: ["One corner.", "The opposite corner."] },
  { key: "joints", words: "Wish a joint line", points: 2, say: ["Where it begins.", "Where it ends."] },
  { key: "outline", words: "Add a corner", points: 1, say: ["Where the outline is to turn.", ""] },
  { key: "cut", words: "Cut a section", points: 2, say: ["Where the cut begins.", "Where it ends."] },
  { key: "measure", words: "Measure", points: 2, say: ["From here.", "To here."] },
];
const SNAPS: Record<string, [string, number][]> = {
  US: [["1/8 in", 0.003175], ["1 in", 0.0254], ["6 in", 0.1524], ["1 ft", 0.3048]],
  SI: [["5 mm", 0.005], ["10 mm", 0.01], ["50 mm", 0.05], ["100 mm", 0.1]],
};

export class LivingPlan {
  readonly element: HTMLElement;
  private view = new View();
  private job!: JobView;
  private picked: { section: string; number: number; point: number } | null = null;
  private tool: Tool | null = null;
  private first: Point | null = null;
  private hidden = new Set<string>();
  private snap: Record<string, number> = { US: 1, SI: 1 };
  private panel = h("div", { class: "panel", "aria-live": "polite" });
  private below = h("div", { class: "cut" });
  private bar = h("div", { class: "tools", role: "toolbar", "aria-label": "The plan" });
  private nudge: { timer: number; dx: number; dy: number } | null = null;
  private dragging = false;
  private waiting: JobView | null = null;

  constructor(private sheet: Sheet) {
    this.view.element.addEventListener("pointerdown", (event) => this.press(event));
    this.view.watch(() => { if (this.job) this.draw(); });
    this.element = h(
      "section",
      { class: "plan", "aria-label": "Plan" },
      this.bar,
      h("div", { class: "plan-room" }, h("div", { class: "plan-sheet" }, this.view.element), this.panel),
      this.below,
    );
  }

  show(job: JobView): void {
    if (this.dragging) {
      this.waiting = job;
      return;
    }
    const changed = !this.job || this.job.family !== job.family;
    this.job = job;
    const outline = job.things.find((one) => one.section === "outline");
    if (outline) this.view.frame(job.things.flatMap((one) => [...one.points_m, ...one.around_m.flat()]));
    if (changed || this.bar.childElementCount === 0) this.showBar();
    this.draw();
    this.showPanel();
  }

  private showBar(): void {
    const snaps = SNAPS[this.job.family] ?? [];
    const snap = h("select", { "aria-label": "Snap to", onchange: () => (this.snap[this.job.family] = snap.selectedIndex) }, snaps.map(([words], number) => h("option", { selected: number === this.snap[this.job.family] }, words)));
    const layers = h("details", { class: "layers" }, h("summary", {}, "Layers"));
    for (const section of ORDER.filter((one) => one !== "outline")) {
      const box = h("input", { type: "checkbox", checked: !this.hidden.has(section) });
      box.addEventListener("change", () => {
        if (box.checked) this.hidden.delete(section);
        else this.hidden.add(section);
        this.draw();
      });
      layers.append(h("label", {}, box, WORDS[section] ?? section));
    }
    const add = h("details", { class: "layers adds" }, h("summary", {}, "Add"));
    for (const tool of TOOLS.slice(0, 9)) add.append(button(tool.words, () => { add.removeAttribute("open"); this.take(tool); }));
    this.bar.replaceChildren(
      h("h2", {}, "Plan"),
      add,
      ...TOOLS.slice(9).map((tool) => button(tool.words, () => this.take(tool))),
      h("label", { class: "snap" }, "Snap ", snap),
      layers,
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

  private take(tool: Tool | null): void {
    this.tool = tool;
    this.first = null;
    this.picked = null;
    this.view.element.classList.toggle("aiming", tool !== null);
    this.draw();
    this.showPanel();
  }

  // --- drawing ---

  private draw(): void {
    const focused = document.activeElement?.getAttribute("data-thing");
    const groups = ORDER.filter((section) => !this.hidden.has(section)).flatMap((section) =>
      this.job.things.filter((one) => one.section === section).map((one) => this.thing(one)),
    );
    this.view.show(groups, this.street(), this.first ? [this.cross(this.first)] : []);
    if (focused) this.view.element.querySelector<SVGElement>(`[data-thing="${focused}"]`)?.focus({ preventScroll: true });
  }

  private street(): Child {
    return s("text", { class: "street", x: 8, y: this.view.height - 10 }, `street side: ${this.job.street_side}`);
  }

  private cross(at: Point): SVGElement {
    const [x, y] = this.view.out(at);
    return s("path", { class: "aim", d: `M${x - 7} ${y}h14M${x} ${y - 7}v14` });
  }

  private path(points: Point[], closed: boolean): string {
    return points.map((one, number) => `${number ? "L" : "M"}${this.view.out(one).map((part) => part.toFixed(1)).join(" ")}`).join("") + (closed ? "Z" : "");
  }

  private thing(thing: ThingView): SVGElement {
    const id = `${thing.section}-${thing.number}`;
    const picked = this.picked?.section === thing.section && this.picked.number === thing.number;
    const group = s("g", {
      class: `thing ${thing.section}${picked ? " picked" : ""}${thing.fixed ? " fixed" : ""}`,
      "data-thing": id,
      tabindex: "0",
      role: "button",
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
    if (thing.shape !== "point" && (thing.section === "outline" || picked)) {
      thing.points_m.forEach((point, number) => {
        const [x, y] = this.view.out(point);
        group.append(s("circle", { class: `corner${picked && this.picked?.point === number ? " held" : ""}`, "data-point": number, cx: x, cy: y, r: picked ? 6 : 4 }));
      });
    }
    group.addEventListener("focus", () => { if (!this.tool && !this.dragging) this.pick(thing, this.picked?.section === thing.section && this.picked.number === thing.number ? this.picked.point : 0, false); });
    group.addEventListener("keydown", (event) => this.key(event as KeyboardEvent, thing));
    return group;
  }

  // --- picking and moving ---

  private pick(thing: ThingView, point: number, redraw = true): void {
    const same = this.picked?.section === thing.section && this.picked.number === thing.number && this.picked.point === point;
    this.picked = { section: thing.section, number: thing.number, point };
    if (!same || redraw) {
      this.draw();
      this.showPanel();
    }
  }

  private found(): ThingView | undefined {
    return this.picked ? this.job.things.find((one) => one.section === this.picked?.section && one.number === this.picked.number) : undefined;
  }

  private step(): [string, number] {
    return (SNAPS[this.job.family] ?? [])[this.snap[this.job.family] ?? 1] ?? ["1 in", 0.0254];
  }

  private snapped(at: Point): Point {
    const [, step] = this.step();
    const drawn = Math.max(step, 0);
    return [Math.round(at[0] / drawn) * drawn, Math.round(at[1] / drawn) * drawn];
  }

  private press(event: PointerEvent): void {
    if (event.button !== 0) return;
    const at = this.view.into(event);
    if (this.tool) {
      event.preventDefault();
      void this.aim(this.snapped(at));
      return;
    }
    const group = (event.target as Element).closest<SVGGElement>("[data-thing]");
    const thing = group && this.job.things.find((one) => `${one.section}-${one.number}` === group.dataset["thing"]);
    if (!thing) {
      this.pan(event);
      return;
    }
    const corner = (event.target as Element).getAttribute("data-point");
    if (thing.shape !== "point" && corner === null) {
      event.preventDefault();
      this.pick(thing, this.nearest(thing, at));
      return;
    }
    event.preventDefault();
    this.drag(event, thing, corner === null ? 0 : Number(corner), at);
  }

  private nearest(thing: ThingView, at: Point): number {
    const far = thing.points_m.map(([x, y]) => Math.hypot(x - at[0], y - at[1]));
    return far.indexOf(Math.min(...far));
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

  private drag(event: PointerEvent, thing: ThingView, point: number, from: Point): void {
    this.pick(thing, point);
    if (thing.fixed) return;
    const start = thing.points_m[point] as Point;
    const group = this.view.element.querySelector<SVGGElement>(`[data-thing="${thing.section}-${thing.number}"]`);
    const followers = [...this.view.element.querySelectorAll<SVGGElement>(".thing.fixed")].filter((_, number) => this.follows(number, start));
    const ghost = s("path", { class: "ghost" });
    const label = s("text", { class: "drag-label" });
    this.view.over(ghost, label);
    let to: Point = start;
    this.dragging = true;
    group?.focus({ preventScroll: true });
    this.view.follow(
      event,
      (move) => {
        const now = this.view.into(move);
        to = this.aligned(this.snapped([start[0] + now[0] - from[0], start[1] + now[1] - from[1]]), thing);
        const [x, y] = this.view.out(to);
        const [x0, y0] = this.view.out(start);
        if (thing.shape === "point") for (const one of [group, ...followers]) one?.setAttribute("transform", `translate(${x - x0} ${y - y0})`);
        else {
          const points = thing.points_m.map((one, number) => (number === point ? to : one));
          for (const line of group?.querySelectorAll(".line, .grip") ?? []) line.setAttribute("d", this.path(points, thing.shape === "ring"));
          group?.querySelector(`[data-point="${point}"]`)?.setAttribute("transform", `translate(${x - x0} ${y - y0})`);
        }
        ghost.setAttribute("d", `M${x} 0V${this.view.height}M0 ${y}H${this.view.width}`);
        label.textContent = `${this.length(to[0])} east, ${this.length(to[1])} north`;
        label.setAttribute("x", String(Math.min(x + 14, this.view.width - 190)));
        label.setAttribute("y", String(Math.max(y - 14, 18)));
      },
      () => {
        this.dragging = false;
        ghost.remove();
        label.remove();
        const late = this.waiting;
        this.waiting = null;
        if (to[0] !== start[0] || to[1] !== start[1]) void this.move(thing, point, { to_m: to, snap: this.step()[0] });
        else this.draw();
        if (late) this.show(late);
      },
    );
  }

  private follows(number: number, at: Point): boolean {
    const fixed = this.job.things.filter((one) => one.fixed)[number]?.points_m[0];
    return fixed !== undefined && Math.hypot(fixed[0] - at[0], fixed[1] - at[1]) < 1e-6;
  }

  /** On the line of a neighbour where it is all but on it. */
  private aligned(at: Point, thing: ThingView): Point {
    const reach = 6 / this.view.scale;
    const others = this.job.things.filter((one) => one !== thing && (one.section === thing.section || one.section === "outline"));
    const near = (axis: 0 | 1): number => others.flatMap((one) => one.points_m).find((one) => Math.abs(one[axis] - at[axis]) < reach)?.[axis] ?? at[axis];
    return [near(0), near(1)];
  }

  /** A length beside the pointer while something is dragged; what is kept is written by the desk. */
  private length(metres: number): string {
    if (this.job.family === "SI") return `${metres.toFixed(3).replace(/\.?0+$/, "")} m`;
    const parts = Math.round((Math.abs(metres) / 0.0254) * 8);
    const [feet, rest] = [Math.floor(parts / 96), parts % 96];
    const fraction = ["", " 1/8", " 1/4", " 3/8", " 1/2", " 5/8", " 3/4", " 7/8"][rest % 8] ?? "";
    return `${metres < 0 ? "-" : ""}${feet}'-${Math.floor(rest / 8)}${fraction}"`;
  }

  private key(event: KeyboardEvent, thing: ThingView): void {
    const steps: Record<string, Point> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const step = steps[event.key];
    if (step) {
      event.preventDefault();
      this.shift(thing, step, event.shiftKey ? 10 : 1);
    } else if (event.key === "Enter") {
      event.preventDefault();
      this.pick(thing, this.picked?.point ?? 0);
      this.panel.querySelector("input")?.focus();
    } else if (event.key === "Delete" || event.key === "Backspace") {
      event.preventDefault();
      void this.remove(thing);
    } else if (event.key === "Escape") this.take(null);
    else if (event.key === "." && thing.shape !== "point") {
      event.preventDefault();
      this.pick(thing, ((this.picked?.point ?? 0) + 1) % thing.points_m.length);
    }
  }

  /** Arrow keys: presses in a row become one edit. */
  private shift(thing: ThingView, step: Point, times: number): void {
    if (thing.fixed) {
      notice(`${thing.name} stands on a pad; move the pad.`);
      return;
    }
    const size = this.step()[1] * times;
    const sum = this.nudge ?? { timer: 0, dx: 0, dy: 0 };
    window.clearTimeout(sum.timer);
    sum.dx += step[0] * size;
    sum.dy += step[1] * size;
    const point = this.picked?.point ?? 0;
    const start = thing.points_m[point] as Point;
    const to: Point = [start[0] + sum.dx, start[1] + sum.dy];
    const [x, y] = this.view.out(to);
    const [x0, y0] = this.view.out(start);
    const group = this.view.element.querySelector(`[data-thing="${thing.section}-${thing.number}"]`);
    (thing.shape === "point" ? group : group?.querySelector(`[data-point="${point}"]`))?.setAttribute("transform", `translate(${x - x0} ${y - y0})`);
    sum.timer = window.setTimeout(() => {
      this.nudge = null;
      void this.move(thing, point, { to_m: to, snap: this.step()[0] });
    }, 350);
    this.nudge = sum;
  }

  private async move(thing: ThingView, point: number, where: Record<string, unknown>): Promise<void> {
    const refusal = await this.sheet.edit("moveThing", "POST", { section: thing.section, number: thing.number, point, ...where });
    this.said(refusal);
  }

  private async remove(thing: ThingView, point: number | null = null): Promise<void> {
    const focus = this.picked;
    const refusal = await this.sheet.edit("removeThing", "POST", { section: thing.section, number: thing.number, point });
    if (!refusal && focus) this.take(null);
    this.said(refusal);
  }

  private said(refusal: string): void {
    if (!refusal) return;
    notice(refusal, "refused");
    this.draw();
    this.showPanel();
  }

  // --- tools ---

  private async aim(at: Point): Promise<void> {
    const tool = this.tool;
    if (!tool) return;
    if (tool.points === 2 && !this.first) {
      this.first = at;
      this.draw();
      this.showPanel();
      return;
    }
    const points = this.first ? [this.first, at] : [at];
    this.take(null);
    if (tool.key === "cut") await this.cut(points as [Point, Point]);
    else if (tool.key === "measure") await this.measure(points as [Point, Point]);
    else {
      const [a, b] = points as [Point, Point];
      const ring = tool.key === "block_outs" ? [a, [b[0], a[1]], b, [a[0], b[1]]] : points;
      this.said(await this.sheet.edit("placeThing", "POST", { section: tool.key, points_m: ring, snap: this.step()[0] }));
    }
  }

  private async cut([a, b]: [Point, Point]): Promise<void> {
    try {
      const found = await get<SectionCut>(address(paths.readCut, { job: this.sheet.job }, { x1: a[0], y1: a[1], x2: b[0], y2: b[1] }));
      this.below.replaceChildren(
        h("figure", {}, h("div", { class: "large-drawing" }, drawing(found.svg)), h("figcaption", {}, `Section along the line drawn: ${found.area} of concrete over ${found.length}.`, button("Put it away", () => this.below.replaceChildren(), { class: "quiet" }))),
      );
    } catch (error) {
      notice(error instanceof Error ? error.message : String(error), "refused");
    }
  }

  private async measure([a, b]: [Point, Point]): Promise<void> {
    try {
      const found = await get<MeasureView>(address(paths.readMeasure, { job: this.sheet.job }, { x1: a[0], y1: a[1], x2: b[0], y2: b[1] }));
      this.panel.replaceChildren(
        h("h3", {}, found.distance),
        h("p", {}, `${found.along_x} east and ${found.along_y} north.`),
        h("p", {}, `Concrete: ${found.thickness[0]} thick at the first point, ${found.thickness[1]} at the second.`),
      );
      const [x1, y1, x2, y2] = [...this.view.out(a), ...this.view.out(b)];
      this.view.over(s("path", { class: "measured", d: `M${x1} ${y1}L${x2} ${y2}` }));
    } catch (error) {
      notice(error instanceof Error ? error.message : String(error), "refused");
    }
  }

  // --- the panel beside the plan ---

  private showPanel(): void {
    if (this.panel.contains(document.activeElement) && document.activeElement?.matches("input")) return;
    const thing = this.found();
    if (this.tool) this.panel.replaceChildren(...this.toolPanel(this.tool));
    else if (thing) this.panel.replaceChildren(...this.thingPanel(thing));
    else this.panel.replaceChildren(h("p", { class: "small" }, "Take hold of a pad, a post, a wall or a corner: drag it, move it with the arrow keys, or type where it stands."));
  }

  private toolPanel(tool: Tool): Node[] {
    const east = h("input", { id: "aim-east", type: "text", autocomplete: "off" });
    const north = h("input", { id: "aim-north", type: "text", autocomplete: "off" });
    const typed = h("form", { class: "typed" }, h("label", { for: "aim-east" }, "east"), east, h("label", { for: "aim-north" }, "north"), north, h("button", { type: "submit" }, "There"));
    typed.addEventListener("submit", (event) => {
      event.preventDefault();
      const at = [east.value, north.value].map(metres);
      if (at.some((one) => one === null)) notice("Write two lengths, such as 15 ft or 4.6 m.", "refused");
      else void this.aim(at as [number, number]);
    });
    return [
      h("h3", {}, tool.words),
      h("p", {}, tool.say[this.first ? 1 : 0]),
      typed,
      button("Leave it", () => this.take(null), { class: "quiet" }),
    ];
  }

  private thingPanel(thing: ThingView): Node[] {
    const point = Math.min(this.picked?.point ?? 0, thing.points_m.length - 1);
    const texts = thing.texts[point] ?? ["", ""];
    const fields = (["east", "north"] as const).map((axis, number) => {
      const input = h("input", { id: `at-${axis}`, type: "text", value: texts[number] ?? "", disabled: thing.fixed, autocomplete: "off" });
      const put = async (): Promise<void> => {
        const to = [texts[0], texts[1]];
        if (input.value === to[number]) return;
        to[number] = input.value;
        await this.move(thing, point, { to });
      };
      input.addEventListener("keydown", (event) => {
        if (event.key === "Enter") { event.preventDefault(); input.blur(); }
        if (event.key === "Escape") { input.value = texts[number] ?? ""; input.blur(); }
      });
      input.addEventListener("change", () => void put());
      return [h("label", { for: input.id }, axis), input];
    });
    const many = thing.points_m.length > 1;
    const corners = many
      ? h("p", { class: "corners" }, thing.points_m.map((_, number) => button(String(number + 1), () => this.pick(thing, number), { "aria-pressed": String(number === point), "aria-label": `Point ${number + 1}` })))
      : "";
    return [
      h("h3", {}, thing.name),
      thing.fixed ? h("p", { class: "small" }, "Stands on a pad and moves with it.") : h("div", {}, corners, h("div", { class: "typed" }, fields.flat())),
      h(
        "p",
        { class: "buttons" },
        many && thing.section !== "joints" && thing.points_m.length > (thing.shape === "ring" ? 3 : 2) ? button("Take this corner out", () => void this.remove(thing, point), { class: "quiet" }) : "",
        thing.section === "outline" || thing.fixed ? "" : button("Take it out", () => void this.remove(thing), { class: "quiet" }),
      ),
      h("p", { class: "small path" }, thing.path),
    ];
  }
}

function spoken(thing: ThingView): string {
  const [east, north] = thing.texts[0] ?? ["", ""];
  const kind = WORDS[thing.section] ?? "";
  const where = thing.shape === "point" ? `, ${east} east, ${north} north` : `, ${thing.points_m.length} points`;
  return `${thing.name}${kind && !thing.name.includes(kind.slice(0, 4)) ? ` (${kind})` : ""}${where}`;
}

/** A typed length as metres, to aim by; kept places are read by the desk from what is typed. */
function metres(text: string): number | null {
  const found = /^\s*(-?\d+(?:\.\d+)?)\s*(mm|cm|m|ft|'|in|")?\s*-?\s*(?:(\d+(?:\.\d+)?)?\s*(?:(\d+)\/(\d+))?\s*(?:in|")?)?\s*$/.exec(text);
  if (!found) return null;
  const unit: Record<string, number> = { mm: 0.001, cm: 0.01, m: 1, ft: 0.3048, "'": 0.3048, in: 0.0254, '"': 0.0254 };
  const [, whole = "0", name, inches, top, bottom] = found;
  if (!name && Number(whole) !== 0) return null;
  const more = (Number(inches ?? 0) + (top && bottom ? Number(top) / Number(bottom) : 0)) * 0.0254;
  return Number(whole) * (unit[name ?? "m"] ?? 1) + (Number(whole) < 0 ? -more : more);
}
