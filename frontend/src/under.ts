// A map under the plan: the thickness as drawn, or the map of any question that has one over the floor.

import { paths, type MapCard, type MapView } from "./api";
import { address, get } from "./client";
import { drawing, h, notice } from "./dom";
import type { LivingPlan } from "./plan";

export class Under {
  readonly legend = h("div", { class: "under-legend", hidden: true });
  readonly chooser: HTMLElement;
  private list = h("select", { "aria-label": "Map under the plan" }, h("option", { value: "" }, "none"));
  private shown = "";
  private listed = "";

  constructor(private plan: LivingPlan) {
    this.chooser = h("label", { class: "snap" }, "Map ", this.list);
    this.list.addEventListener("focus", () => void this.fill());
    this.list.addEventListener("pointerdown", () => void this.fill());
    this.list.addEventListener("change", () => void this.show());
  }

  /** Drawn anew after the answers have changed. */
  async again(): Promise<void> {
    this.listed = "";
    if (this.shown) await this.show();
    else if (this.list.childElementCount === 1) await this.fill();
  }

  private async fill(): Promise<void> {
    const { version } = this.plan.sheet.view;
    if (this.listed === version) return;
    this.listed = version;
    const cards = await get<MapCard[]>(address(paths.readMaps, { job: this.plan.sheet.job })).catch(() => []);
    const was = this.list.value;
    this.list.replaceChildren(h("option", { value: "" }, "none"), ...cards.map((one) => h("option", { value: `${one.study}/${one.key}`, title: one.title }, one.title)));
    this.list.value = cards.some((one) => `${one.study}/${one.key}` === was) ? was : "";
  }

  private async show(): Promise<void> {
    const wanted = this.list.value;
    const [study = "", key = ""] = wanted.split("/");
    const { view, sheet } = this.plan;
    let found: MapView | null = null;
    try {
      if (wanted) found = await get<MapView>(address(paths.readMap, { job: sheet.job, study, key }, { scale: Math.min(400, Math.max(1, view.scale)) }));
    } catch (error) {
      notice(error instanceof Error ? error.message : String(error), "refused");
    }
    if (wanted !== this.list.value) return;
    this.shown = found ? wanted : "";
    const map = found && drawing(found.svg);
    this.view(map instanceof Element ? (map.firstElementChild ?? null) : null, found);
  }

  private view(map: Element | null, found: MapView | null): void {
    map?.removeAttribute("transform");
    this.plan.view.lay(map, found?.scale);
    this.plan.element.classList.toggle("mapped", map !== null);
    this.legend.hidden = found === null;
    if (found) this.legend.replaceChildren(drawing(found.legend) ?? "", h("p", { class: "small" }, [found.title, ...found.notes].join(". ")));
  }
}
