// What goes in and out: papers, the outline from a drawing or a table, files of measurements. What was understood is shown first.

import { paths, type JobView, type OutlinePreview, type SitePreview } from "./api";
import { address, get, Refused, send } from "./client";
import { button, dialog, drawing, h, notice } from "./dom";
import type { Sheet } from "./sheet";
import { findingsBox } from "./versions";

const PAPERS: [string, string][] = [
  ["book.pdf", "Pour book"],
  ["papers.zip", "A sheet for each who needs one"],
  ["quantities.xlsx", "Order list"],
  ["plan.svg", "Plan sheet"],
  ["plan.json", "Results for other programs"],
];

export function papersMenu(sheet: Sheet): HTMLElement {
  return button("In and out", () => void showPapers(sheet));
}

/** Everything that goes out and comes in; a file that was dropped is read at once. */
export async function showPapers(sheet: Sheet, dropped?: File): Promise<void> {
  const { job } = sheet;
  const kinds = await get<Record<string, string[]>>(address(paths.siteKinds, { job }));
  const dxf = dropped?.name.toLowerCase().endsWith(".dxf") ? dropped : undefined;
  dialog(
    "In and out",
    h("h3", {}, "Papers"),
    h("ul", { class: "plain-list" }, PAPERS.map(([name, words]) => h("li", {}, h("a", { href: address(paths.readPaper, { job, name }), download: name, onclick: () => notice(`${words}: being made; it is saved in a few seconds.`) }, words)))),
    h("p", {}, h("a", { href: address(paths.readArchive, { job }), download: `${job}.zip` }, "The job's folder as one archive")),
    h("h3", {}, "Outline from a drawing or a table"),
    outlineForm(sheet, dxf),
    h("h3", {}, "Measurements and forecasts"),
    siteForm(sheet, kinds, dxf ? undefined : dropped),
  );
}

function outlineForm(sheet: Sheet, dropped?: File): HTMLElement {
  const file = h("input", { id: "outline-file", type: "file", accept: ".dxf" });
  const table = h("textarea", { id: "outline-table", rows: "4", placeholder: "0, 0\n30 ft, 0\n30 ft, 36 ft\n0, 36 ft" });
  const alone = h("select", { id: "table-unit" }, h("option", { value: "" }, "not allowed"), ["ft", "in", "m", "cm", "mm"].map((one) => h("option", { value: one }, one)));
  const shown = h("div", { class: "preview", "aria-live": "polite" });
  const ask = async (layer = "", unit = ""): Promise<void> => {
    const form = new FormData();
    if (file.files?.[0]) form.set("file", file.files[0]);
    else form.set("table", table.value);
    form.set("layer", layer);
    form.set("unit", unit);
    shown.replaceChildren(h("p", { class: "small" }, "Reading it."));
    try {
      const found = await send<OutlinePreview>("POST", address(paths.previewOutline, { job: sheet.job }), form);
      shown.replaceChildren(...outlinePreview(sheet, found, ask, unit !== ""));
      shown.scrollIntoView({ block: "nearest" });
    } catch (error) {
      shown.replaceChildren(why(error));
    }
  };
  file.addEventListener("change", () => void ask());
  if (dropped) {
    put(file, dropped);
    void ask();
  }
  return h(
    "div",
    { class: "import" },
    h("label", { for: "outline-file" }, "DXF drawing"),
    file,
    h("label", { for: "outline-table" }, "or corners, one a line: east, north"),
    table,
    h("p", { class: "units-of-job" }, h("label", { for: "table-unit" }, "Numbers without a unit are "), alone, button("Read the table", () => { file.value = ""; void ask("", alone.value); })),
    shown,
  );
}

function outlinePreview(sheet: Sheet, found: OutlinePreview, ask: (layer: string, unit: string) => Promise<void>, chosen: boolean): Node[] {
  const open = !chosen && !found.unit_stated;
  const layer = h("select", { id: "outline-layer", onchange: () => void ask(layer.value, chosen ? unit.value : "") }, found.layers.map((one) => h("option", { value: one, selected: one === found.layer }, one)));
  const unit = h("select", { id: "outline-unit", onchange: () => void ask(layer.value, unit.value) }, [
    open ? h("option", { value: "", selected: true }, "choose by the size") : "",
    ...found.units.map((one, number) => h("option", { value: one, selected: !open && one === found.unit }, found.sizes?.[number] ? `${one}: ${found.sizes[number]}` : one)),
  ]);
  const ring = h("select", { id: "outline-ring" }, found.rings.map((one, number) => h("option", { value: String(number) }, `${one.size}, ${one.area}, ${one.points_m.length} corners`)));
  const said = h("p", { class: "refusal", role: "alert" });
  const table = found.layers.length === 0;
  return [
    h("p", {}, found.message),
    h("div", { class: "large-drawing" }, drawing(found.svg)),
    h(
      "div",
      { class: "typed" },
      table ? "" : h("label", { for: "outline-layer" }, "Layer"),
      table ? "" : layer,
      table ? "" : h("label", { for: "outline-unit" }, open ? "Drawn in which unit?" : "Drawn in"),
      table ? "" : unit,
      h("label", { for: "outline-ring" }, "Shape"),
      ring,
    ),
    said,
    button(
      "Make it the outline",
      async () => {
        said.textContent = await sheet.edit("takeOutline", "POST", { token: found.token, ring: Number(ring.value) });
        if (!said.textContent) notice("The outline is taken; Undo goes back.");
      },
      { class: "main", disabled: open },
    ),
  ];
}

function siteForm(sheet: Sheet, kinds: Record<string, string[]>, dropped?: File): HTMLElement {
  const kind = h("select", { id: "site-kind" }, h("option", { value: "" }, "choose"), Object.keys(kinds).map((one) => h("option", { value: one }, one)));
  const file = h("input", { id: "site-file", type: "file" });
  const shown = h("div", { class: "preview", "aria-live": "polite" });
  const read = async (): Promise<void> => {
    const chosen = file.files?.[0];
    if (!chosen) return;
    kind.value ||= guessed(chosen.name, kinds);
    if (!kind.value) {
      shown.replaceChildren(h("p", {}, `What is ${chosen.name}? Choose above.`));
      kind.focus();
      return;
    }
    const form = new FormData();
    form.set("file", chosen);
    form.set("kind", kind.value);
    shown.replaceChildren(h("p", { class: "small" }, "Reading it."));
    try {
      const found = await send<SitePreview>("POST", address(paths.previewSite, { job: sheet.job }), form);
      shown.replaceChildren(
        h("ul", { class: "plain-list understood" }, found.summary.map((one) => h("li", {}, one))),
        ...findingsBox(found.findings),
        button("Take it", async () => {
          sheet.show(await send<JobView>("POST", address(paths.takeSite, { job: sheet.job }), { version: sheet.view.version, token: found.token }));
          sheet.refresh("placement");
          shown.replaceChildren(h("p", {}, `Taken as ${found.name}.`));
        }, { class: "main" }),
      );
    } catch (error) {
      shown.replaceChildren(why(error));
    }
  };
  file.addEventListener("change", () => void read());
  kind.addEventListener("change", () => void read());
  const drop = h("div", { class: "import drop" }, h("label", { for: "site-kind" }, "What it is"), kind, h("label", { for: "site-file" }, "File, chosen or dropped here"), file, shown);
  drop.addEventListener("dragover", (event) => event.preventDefault());
  drop.addEventListener("drop", (event) => {
    const one = event.dataTransfer?.files[0];
    event.preventDefault();
    if (!one) return;
    put(file, one);
    void read();
  });
  if (dropped) {
    put(file, dropped);
    void read();
  }
  return drop;
}

/** What a file is by its name, where the name says so. */
function guessed(name: string, kinds: Record<string, string[]>): string {
  const stem = name.toLowerCase().replace(/\.[^.]*$/, "");
  return Object.entries(kinds).find(([, names]) => names.some((one) => stem.includes(one.replace(/\.[^.]*$/, ""))))?.[0] ?? "";
}

const MOST_SAID = 8;

/** Why a file was not understood: every place of it that could not be read, with its line. */
function why(error: unknown): HTMLElement {
  const findings = error instanceof Refused ? (error.refusal.findings ?? []) : [];
  if (!findings.length) return h("p", { class: "refusal", role: "alert" }, error instanceof Error ? error.message : String(error));
  const said = findings.slice(0, MOST_SAID).map((one) => {
    const where = one.where + (one.line ? `, line ${one.line}` : "");
    return h("li", {}, where.startsWith("the ") ? `${where} ${one.message}` : `${where}: ${one.message}`);
  });
  const more = findings.length - said.length;
  return h("ul", { class: "plain-list refusal", role: "alert" }, said, more > 0 ? h("li", {}, `and ${more} more`) : "");
}

function put(field: HTMLInputElement, file: File): void {
  const carried = new DataTransfer();
  carried.items.add(file);
  field.files = carried.files;
}
