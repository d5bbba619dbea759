// A drawing surface: metres on the plan to pixels on the screen and back, with pan and zoom.

import { s, type Child } from "./dom";

export type Point = [number, number];

export class View {
  readonly element: SVGSVGElement;
  width = 760;
  height = 420;
  scale = 20;
  private bounds: [number, number, number, number] = [0, 0, 10, 10];
  private centre: Point = [5, 5];
  private whole_ = true;
  private things = s("g", {});
  private under = s("g", { class: "under", "aria-hidden": "true" });
  private underScale = 1;
  private top = s("g", { class: "over" });
  private framed = "";

  constructor() {
    this.element = s("svg", { class: "living", viewBox: `0 0 ${this.width} ${this.height}`, role: "group", "aria-label": "Plan to take hold of" }, this.under, this.things, this.top);
  }

  /** Follow the size of the element, so that a unit of the drawing is a pixel. */
  watch(resized: () => void): void {
    new ResizeObserver(() => {
      const { clientWidth, clientHeight } = this.element;
      if (clientWidth < 50 || (clientWidth === this.width && clientHeight === this.height)) return;
      [this.width, this.height] = [clientWidth, clientHeight];
      this.element.setAttribute("viewBox", `0 0 ${clientWidth} ${clientHeight}`);
      if (this.whole_) this.whole();
      resized();
    }).observe(this.element);
  }

  /** Keep everything in sight as long as nobody has zoomed. */
  frame(points: readonly (readonly [number, number])[]): void {
    if (!points.length) return;
    const xs = points.map((one) => one[0]);
    const ys = points.map((one) => one[1]);
    this.bounds = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
    const key = this.bounds.map((one) => one.toFixed(2)).join();
    if (this.whole_ && key !== this.framed) this.whole();
    this.framed = key;
  }

  whole(): void {
    const [left, bottom, right, top] = this.bounds;
    this.scale = Math.min((this.width - 84) / Math.max(right - left, 0.1), (this.height - 84) / Math.max(top - bottom, 0.1));
    this.centre = [(left + right) / 2, (bottom + top) / 2];
    this.whole_ = true;
  }

  zoom(by: number): void {
    this.scale *= by;
    this.whole_ = false;
  }

  pan(dx: number, dy: number): void {
    const ratio = this.width / this.element.getBoundingClientRect().width;
    this.centre = [this.centre[0] - (dx * ratio) / this.scale, this.centre[1] + (dy * ratio) / this.scale];
    this.whole_ = false;
  }

  /** Lay a map under everything, drawn at so many units to the metre with its origin at that of the plan; or take it away. */
  lay(map: Node | null, scale = 1): void {
    this.under.replaceChildren(...(map ? [map] : []));
    this.underScale = scale;
    this.moveUnder();
  }

  private moveUnder(): void {
    const [x, y] = this.out([0, 0]);
    this.under.setAttribute("transform", `translate(${x} ${y}) scale(${this.scale / this.underScale})`);
  }

  show(groups: SVGElement[], ...more: Child[]): void {
    this.moveUnder();
    this.things.replaceChildren(...groups);
    this.top.replaceChildren();
    for (const one of more.flat()) if (one instanceof Node) this.top.append(one);
  }

  over(...elements: SVGElement[]): void {
    this.top.append(...elements);
  }

  out([x, y]: readonly [number, number]): Point {
    return [this.width / 2 + (x - this.centre[0]) * this.scale, this.height / 2 - (y - this.centre[1]) * this.scale];
  }

  into(event: PointerEvent): Point {
    const box = this.element.getBoundingClientRect();
    const fit = Math.min(box.width / this.width, box.height / this.height);
    const px = (event.clientX - box.left - (box.width - fit * this.width) / 2) / fit;
    const py = (event.clientY - box.top - (box.height - fit * this.height) / 2) / fit;
    return [this.centre[0] + (px - this.width / 2) / this.scale, this.centre[1] - (py - this.height / 2) / this.scale];
  }

  /** Follow a pointer until it lets go; moves are taken once a frame. */
  follow(event: PointerEvent, move: (event: PointerEvent) => void, end: () => void = () => undefined): void {
    this.element.setPointerCapture(event.pointerId);
    let last: PointerEvent | null = null;
    const moved = (next: Event): void => {
      if (last === null) requestAnimationFrame(() => { if (last) move(last); last = null; });
      last = next as PointerEvent;
    };
    const ended = (): void => {
      if (last) move(last);
      last = null;
      this.element.removeEventListener("pointermove", moved);
      this.element.removeEventListener("pointerup", ended);
      this.element.removeEventListener("pointercancel", ended);
      end();
    };
    this.element.addEventListener("pointermove", moved);
    this.element.addEventListener("pointerup", ended);
    this.element.addEventListener("pointercancel", ended);
  }
}
