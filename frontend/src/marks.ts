// What is written and drawn on the living plan beside the things themselves.

import type { JobView, ThingView } from "./api";
import { s } from "./dom";
import { LAID } from "./joints";
import type { Point, View } from "./view";

const LETTER_PX = 7;
const AWAY_PX = 19;
const NAME_PX = 34;

/** A joint as the saw makes it, a double line with its name; a forbidden one says so. */
export function jointMarks(view: View, thing: ThingView): SVGElement[] {
  const [[x1, y1], [x2, y2]] = [view.out(thing.points_m[0] as Point), view.out(thing.points_m[1] as Point)];
  const laid = thing.section === LAID;
  const at = laid ? Math.min(24 / (Math.hypot(x2 - x1, y2 - y1) || 1), 0.5) : 0.5;
  const name = s("text", { class: "name", x: x1 + at * (x2 - x1), y: y1 + at * (y2 - y1) + 4 }, laid ? thing.name : "no joint");
  return laid ? [s("path", { class: "saw", d: `M${x1} ${y1}L${x2} ${y2}` }), name] : [name];
}

/** Where a section is cut: the line with a stroke across at each end. */
export function cutMark(view: View, [a, b]: [Point, Point]): SVGElement {
  const [[x1, y1], [x2, y2]] = [view.out(a), view.out(b)];
  const long = Math.hypot(x2 - x1, y2 - y1) || 1;
  const [nx, ny] = [(-7 * (y2 - y1)) / long, (7 * (x2 - x1)) / long];
  const stroke = (x: number, y: number): string => `M${x - nx} ${y - ny}L${x + nx} ${y + ny}`;
  return s("path", { class: "cut-line", d: `M${x1} ${y1}L${x2} ${y2}${stroke(x1, y1)}${stroke(x2, y2)}` });
}

/** Whether names would lie over each other; then only that of the one in hand is written. */
export function crowded(view: View, section: string, things: ThingView[]): boolean {
  const points = things.flatMap((one) => one.points_m.map((at) => view.out(at)));
  const wide = (axis: 0 | 1): number => Math.max(...points.map((one) => one[axis])) - Math.min(...points.map((one) => one[axis]));
  const apart = (): number => Math.max(Math.sqrt((wide(0) * wide(1)) / things.length), Math.max(wide(0), wide(1)) / things.length);
  if (section === "pads") return things.length > 4 && apart() < NAME_PX;
  return section === LAID && things.length > 8 && (2 * Math.min(wide(0), wide(1))) / things.length < NAME_PX;
}

/** How long each side of the outline is, outside it, where there is room for the words; upright ones are read from the right. */
export function dimensions(view: View, job: JobView): SVGElement[] {
  const outline = job.things.find((one) => one.section === "outline");
  if (!outline) return [];
  const points = outline.points_m.map((one) => view.out(one));
  const after = (number: number): Point => points[(number + 1) % points.length] as Point;
  const turned = Math.sign(points.reduce((sum, [x, y], number) => sum + x * after(number)[1] - after(number)[0] * y, 0));
  return points.flatMap(([x1, y1], number) => {
    const [x2, y2] = after(number);
    const words = outline.sides?.[number] ?? "";
    const [dx, dy, long] = [x2 - x1, y2 - y1, Math.hypot(x2 - x1, y2 - y1)];
    if (long < LETTER_PX * words.length + 12) return [];
    const [x, y] = [(x1 + x2) / 2 + (turned * AWAY_PX * dy) / long, (y1 + y2) / 2 - (turned * AWAY_PX * dx) / long];
    const angle = (Math.atan2(dy, dx) * 180) / Math.PI;
    const upright = angle > 89 ? angle - 180 : angle < -91 ? angle + 180 : angle;
    return [s("text", { class: "side", x, y, transform: `rotate(${upright} ${x} ${y})` }, words)];
  });
}
