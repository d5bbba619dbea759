// The hand on the plan: dragging a thing or one of its points, and moving it by keys.

import type { ThingView } from "./api";
import { notice, s } from "./dom";
import { ALL, idOf, type LivingPlan } from "./plan";
import type { Point } from "./view";

const ARROWS: Record<string, Point> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const PAGES: Record<string, number> = { PageDown: 1, PageUp: -1, End: Infinity, Home: -Infinity };
const PAUSE_MS = 350;
const STILL_PX = 3;

export class Hand {
  dragging = false;
  private nudge: { timer: number; dx: number; dy: number } | null = null;

  constructor(private plan: LivingPlan) {}

  /** Drag a point of a thing, or all of it, from where the pointer took hold; ``still`` if it was let go where it was. */
  drag(event: PointerEvent, thing: ThingView, point: number, from: Point, still: () => void): void {
    const { plan } = this;
    const { view } = plan;
    plan.pick(thing, point);
    if (thing.fixed) {
      still();
      return;
    }
    const start = (thing.section === "edge" ? from : thing.points_m[Math.max(point, 0)]) as Point;
    const group = plan.group(idOf(thing));
    const along = plan.job.things.filter((one) => one.fixed && same(one.points_m[0], start)).map((one) => plan.group(idOf(one)));
    const ghost = s("path", { class: "ghost" });
    const label = s("text", { class: "drag-label" });
    view.over(ghost, label);
    let to: Point = start;
    let resting = true;
    this.dragging = true;
    group?.focus({ preventScroll: true });
    view.follow(
      event,
      (move) => {
        resting &&= Math.hypot(move.clientX - event.clientX, move.clientY - event.clientY) < STILL_PX;
        if (resting) return;
        const now = view.into(move);
        const drawn: Point = [start[0] + now[0] - from[0], start[1] + now[1] - from[1]];
        to = thing.section === "edge" ? drawn : this.aligned(plan.snapped(drawn), thing);
        this.shift(thing, point, start, to, [group, ...along]);
        const [x, y] = view.out(to);
        ghost.setAttribute("d", `M${x} 0V${view.height}M0 ${y}H${view.width}`);
        label.textContent = thing.section === "edge" ? "inner line of the edge" : `${this.length(to[0])} east, ${this.length(to[1])} north`;
        label.setAttribute("x", String(Math.min(x + 14, view.width - 190)));
        label.setAttribute("y", String(Math.max(y - 14, 18)));
      },
      () => {
        this.dragging = false;
        ghost.remove();
        label.remove();
        if (to[0] !== start[0] || to[1] !== start[1]) void plan.move(thing, point, { to_m: to, snap: plan.step()[0] });
        else {
          plan.draw();
          still();
        }
        plan.letGo();
      },
    );
  }

  /** Redraw what is dragged, and nothing else. */
  private shift(thing: ThingView, point: number, start: Point, to: Point, groups: (SVGGElement | null)[]): void {
    const { view } = this.plan;
    const [x, y] = view.out(to);
    const [x0, y0] = view.out(start);
    const by = `translate(${x - x0} ${y - y0})`;
    if (point !== ALL) view.element.querySelector(".held-mark")?.setAttribute("transform", by);
    if (thing.section === "edge") return;
    if (thing.shape === "point" || point === ALL) {
      for (const one of groups) one?.setAttribute("transform", by);
      return;
    }
    const points = thing.points_m.map((one, number) => (number === point ? to : one));
    for (const line of groups[0]?.querySelectorAll(".line, .grip") ?? []) line.setAttribute("d", this.plan.path(points, thing.shape === "ring"));
    groups[0]?.querySelector(`[data-point="${point}"]`)?.setAttribute("transform", by);
  }

  /** On the line of a neighbour where it is all but on it. */
  private aligned(at: Point, thing: ThingView): Point {
    const reach = 6 / this.plan.view.scale;
    const others = this.plan.job.things.filter((one) => one !== thing && (one.section === thing.section || one.section === "outline"));
    const near = (axis: 0 | 1): number => others.flatMap((one) => one.points_m).find((one) => Math.abs(one[axis] - at[axis]) < reach)?.[axis] ?? at[axis];
    return [near(0), near(1)];
  }

  /** A length beside the pointer while something is dragged; what is kept is written by the desk. */
  private length(metres: number): string {
    if (this.plan.job.family === "SI") return `${metres.toFixed(3).replace(/\.?0+$/, "")} m`;
    const parts = Math.round((Math.abs(metres) / 0.0254) * 8);
    const [feet, rest] = [Math.floor(parts / 96), parts % 96];
    const fraction = ["", " 1/8", " 1/4", " 3/8", " 1/2", " 5/8", " 3/4", " 7/8"][rest % 8] ?? "";
    return `${metres < 0 ? "-" : ""}${feet}'-${Math.floor(rest / 8)}${fraction}"`;
  }

  key(event: KeyboardEvent, thing: ThingView): void {
    const { plan } = this;
    const step = ARROWS[event.key];
    const held = plan.picked?.point ?? 0;
    if (step) this.byKeys(thing, step, event.shiftKey ? 10 : 1);
    else if (event.key === "Enter" || event.key === " ") {
      plan.pick(thing, held);
      plan.panel.querySelector("input")?.focus();
    } else if (event.key === "Delete" || event.key === "Backspace") this.takeOut(thing, held);
    else if (event.key === "Escape") plan.take(null);
    else if (event.key === "." && thing.shape !== "point" && thing.section !== "edge") {
      const last = thing.section === "outline" ? thing.points_m.length - 1 : ALL;
      plan.pick(thing, held === last ? 0 : held + 1 < thing.points_m.length ? held + 1 : ALL);
    } else if (event.key in PAGES) plan.go(thing, PAGES[event.key] ?? 0);
    else return;
    event.preventDefault();
  }

  private takeOut(thing: ThingView, held: number): void {
    if (thing.section === "edge") notice("The edge stays; take it out of the job file if the floor has none.");
    else void this.plan.remove(thing, thing.section === "outline" ? Math.max(held, 0) : null);
  }

  /** Arrow keys: presses in a row become one edit. */
  private byKeys(thing: ThingView, step: Point, times: number): void {
    const { plan } = this;
    if (thing.fixed) {
      notice(`${thing.name} stands on a pad; move the pad.`);
      return;
    }
    const size = plan.step()[1] * times;
    const sum = this.nudge ?? { timer: 0, dx: 0, dy: 0 };
    window.clearTimeout(sum.timer);
    sum.dx += step[0] * size;
    sum.dy += step[1] * size;
    const point = plan.picked?.point ?? 0;
    const start = (thing.section === "edge" ? middle(thing) : thing.points_m[Math.max(point, 0)]) as Point;
    const to: Point = thing.section === "edge" ? inward(thing, start, sum.dx + sum.dy) : [start[0] + sum.dx, start[1] + sum.dy];
    this.shift(thing, point, start, to, [plan.group(idOf(thing))]);
    sum.timer = window.setTimeout(() => {
      this.nudge = null;
      void plan.move(thing, point, { to_m: to, snap: plan.step()[0] });
    }, PAUSE_MS);
    this.nudge = sum;
  }
}

function same(one: Point | undefined, other: Point): boolean {
  return one !== undefined && Math.hypot(one[0] - other[0], one[1] - other[1]) < 1e-6;
}

function middle(thing: ThingView): Point {
  const [a, b] = thing.points_m as [Point, Point];
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
}

/** From the middle of a ring's first side a way towards its inside. */
function inward(thing: ThingView, from: Point, by: number): Point {
  const [a, b] = thing.points_m as [Point, Point];
  const long = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  const turned = thing.points_m.reduce((sum, one, number) => {
    const next = thing.points_m[(number + 1) % thing.points_m.length] as Point;
    return sum + one[0] * next[1] - next[0] * one[1];
  }, 0);
  const side = (Math.sign(turned) * by) / long;
  return [from[0] - side * (b[1] - a[1]), from[1] + side * (b[0] - a[0])];
}
