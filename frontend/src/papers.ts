// What goes in and out: the file underneath, findings, history and versions, papers, files that are dropped.

import {
  paths, type Comparison, type EditView, type FindingView, type JobView, type OutlinePreview, type SitePreview, type VersionView,
} from "./api";
import { address, differenceList, get, send } from "./client";
import { button, dialog, drawing, h, notice } from "./dom";
import { stateMark } from "./main";
import type { Sheet } from "./sheet";
import { runs } from "./strip";

/** Told when the job file was changed outside the page: what differs, and whose state goes on. */
export function fileBanner(sheet: Sheet): HTMLElement[] {
  const { file } = sheet.view;
  if (!file.changed_underneath) return [];
  const settle = (path: "takeFile" | "keepMine") => async (): Promise<void> => {
    sheet.show(await send<JobView>("POST", address(paths[path], { job: sheet.job })));
  };
  return [
    h(
      "section",
      { class: "banner", role: "alert" },
      h("h2", {}, "The job file was changed outside this page"),
      file.readable ? "" : h("p", {}, "As it stands it cannot be read."),
      differenceList(file.differences, "here", "in the file"),
      h(
        "p",
        { class: "buttons" },
        button("Take the file as it is now", () => void settle("takeFile")(), { class: "main" }),
        button("Keep what is here", () => void settle("keepMine")()),
      ),
      h("p", { class: "small" }, "Neither is lost: the other one stays in the history."),
    ),
  ];
}

/** Mistakes in the job file first; doubts fold away. */
export function findingsBox(findings: FindingView[]): HTMLElement[] {
  const list = (some: FindingView[]): HTMLElement =>
    h("ul", { class: "plain-list" }, some.map((one) => h("li", {}, h("span", { class: "path" }, one.where), ` ${one.message}`, one.line ? h("span", { class: "source" }, ` line ${one.line}`) : "")));
  const wrong = findings.filter((one) => !one.warning);
  const doubts = findings.filter((one) => one.warning);
  return [
    ...(wrong.length ? [h("section", { class: "banner", role: "alert" }, h("h2", {}, "The job file cannot be read as it stands"), list(wrong))] : []),
    ...(doubts.length ? [h("details", { class: "doubts" }, h("summary", {}, `${doubts.length} ${doubts.length === 1 ? "value" : "values"} to look at twice`), list(doubts))] : []),
  ];
}

export function historyMenu(sheet: Sheet): HTMLElement {
  return button("Versions", () => void showVersions(sheet));
}

async function showVersions(sheet: Sheet): Promise<void> {
  const { job } = sheet;
  const [versions, edits] = await Promise.all([
    get<VersionView[]>(address(paths.readVersions, { job })),
    get<EditView[]>(address(paths.readHistory, { job })),
  ]);
  const name = h("input", { id: "version-name", type: "text", placeholder: "such as 6 in floor", maxlength: "80", autocomplete: "off" });
  const said = h("p", { class: "refusal", role: "alert" });
  const compared = h("div", { class: "compared" });
  const keep = h("form", { class: "typed" }, h("label", { for: "version-name" }, "Keep this state as"), name, h("button", { type: "submit" }, "Keep"));
  keep.addEventListener("submit", (event) => {
    event.preventDefault();
    send<VersionView[]>("POST", address(paths.nameVersion, { job }), { name: name.value })
      .then((now) => { list.replaceChildren(...rows(now)); name.value = ""; said.textContent = ""; })
      .catch((error: unknown) => { said.textContent = error instanceof Error ? error.message : String(error); });
  });
  const rows = (all: VersionView[]): HTMLElement[] =>
    all.map((one) =>
      h(
        "li",
        {},
        h("strong", {}, one.name),
        h("span", { class: "small" }, one.here ? " as it stands now " : ` ${when(one.at)} `),
        button("Compare with now", () => void compare(sheet, one.name, compared), { class: "quiet" }),
        button("Go back to it", async () => { await sheet.edit("restoreVersion", "POST", {}, { name: one.name }); box.close(); }, { class: "quiet" }),
        button("Forget the name", () => void send<VersionView[]>("DELETE", address(paths.forgetVersion, { job, name: one.name })).then((now) => list.replaceChildren(...rows(now))), { class: "quiet" }),
      ),
    );
  const list = h("ul", { class: "plain-list versions" }, rows(versions));
  const box = dialog(
    "Versions",
    keep,
    said,
    list,
    compared,
    h("details", {}, h("summary", {}, "Latest edits"), h("ol", { class: "plain-list" }, edits.map((one) => h("li", {}, one.what, h("span", { class: "small" }, ` ${when(one.at)}`))))),
  );
}

function when(at: string): string {
  return new Date(at).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });
}

async function compare(sheet: Sheet, name: string, into: HTMLElement): Promise<void> {
  into.replaceChildren(h("p", { class: "small" }, "Working both."));
  try {
    const found = await get<Comparison>(address(paths.compare, { job: sheet.job }, { before: name }));
    into.replaceChildren(
      h("h3", {}, `${found.before} against now`),
      found.inputs.length ? differenceList(found.inputs, found.before, "now") : h("p", {}, "The inputs are the same."),
      h("h4", {}, "Answers that moved"),
      found.answers.length
        ? h(
            "div",
            { class: "answers" },
            found.answers.map((one) =>
              h(
                "section",
                {},
                h("h5", {}, one.question),
                h("div", { class: "pair" }, h("p", {}, stateMark(one.before_state), " ", ...runs(one.before)), h("p", {}, stateMark(one.after_state), " ", ...runs(one.after))),
                one.figures.length ? h("ul", { class: "plain-list small" }, one.figures.map((text) => h("li", {}, text))) : "",
              ),
            ),
          )
        : h("p", {}, "None."),
    );
  } catch (error) {
    into.replaceChildren(h("p", { class: "refusal" }, error instanceof Error ? error.message : String(error)));
  }
}

const PAPERS: [string, string][] = [
  ["book.pdf", "Pour book"],
  ["quantities.xlsx", "Order list"],
  ["plan.svg", "Plan sheet"],
  ["plan.json", "Results for other programs"],
];

export function papersMenu(sheet: Sheet): HTMLElement {
  return button("In and out", () => void showPapers(sheet));
}

async function showPapers(sheet: Sheet): Promise<void> {
  const { job } = sheet;
  const kinds = await get<Record<string, string[]>>(address(paths.siteKinds, { job }));
  dialog(
    "In and out",
    h("h3", {}, "Papers"),
    h("ul", { class: "plain-list" }, PAPERS.map(([name, words]) => h("li", {}, h("a", { href: address(paths.readPaper, { job, name }), download: name }, words)))),
    h("p", {}, h("a", { href: address(paths.readArchive, { job }), download: `${job}.zip` }, "The job's folder as one archive")),
    h("h3", {}, "Outline from a drawing or a table"),
    outlineForm(sheet),
    h("h3", {}, "Measurements and forecasts"),
    siteForm(sheet, Object.keys(kinds)),
  );
}

function outlineForm(sheet: Sheet): HTMLElement {
  const file = h("input", { id: "outline-file", type: "file", accept: ".dxf" });
  const table = h("textarea", { id: "outline-table", rows: "4", placeholder: "0, 0\n30 ft, 0\n30 ft, 36 ft\n0, 36 ft" });
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
      shown.replaceChildren(...outlinePreview(sheet, found, ask));
    } catch (error) {
      shown.replaceChildren(h("p", { class: "refusal" }, error instanceof Error ? error.message : String(error)));
    }
  };
  file.addEventListener("change", () => void ask());
  return h(
    "div",
    { class: "import" },
    h("label", { for: "outline-file" }, "DXF drawing"),
    file,
    h("label", { for: "outline-table" }, "or corners, one a line: east, north"),
    table,
    button("Read the table", () => { file.value = ""; void ask(); }),
    shown,
  );
}

function outlinePreview(sheet: Sheet, found: OutlinePreview, ask: (layer: string, unit: string) => Promise<void>): Node[] {
  const layer = h("select", { id: "outline-layer", onchange: () => void ask(layer.value, unit.value) }, found.layers.map((one) => h("option", { value: one, selected: one === found.layer }, one)));
  const unit = h("select", { id: "outline-unit", onchange: () => void ask(layer.value, unit.value) }, found.units.map((one) => h("option", { value: one, selected: one === found.unit }, one)));
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
      table ? "" : h("label", { for: "outline-unit" }, "Drawn in"),
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
      { class: "main" },
    ),
  ];
}

function siteForm(sheet: Sheet, kinds: string[]): HTMLElement {
  const kind = h("select", { id: "site-kind" }, kinds.map((one) => h("option", { value: one }, one)));
  const file = h("input", { id: "site-file", type: "file" });
  const shown = h("div", { class: "preview", "aria-live": "polite" });
  const read = async (): Promise<void> => {
    const chosen = file.files?.[0];
    if (!chosen) return;
    const form = new FormData();
    form.set("file", chosen);
    form.set("kind", kind.value);
    shown.replaceChildren(h("p", { class: "small" }, "Reading it."));
    try {
      const found = await send<SitePreview>("POST", address(paths.previewSite, { job: sheet.job }), form);
      shown.replaceChildren(
        h("ul", { class: "plain-list" }, found.summary.map((one) => h("li", {}, one))),
        ...findingsBox(found.findings),
        button("Take it", async () => {
          sheet.show(await send<JobView>("POST", address(paths.takeSite, { job: sheet.job }), { version: sheet.view.version, token: found.token }));
          shown.replaceChildren(h("p", {}, `Taken as ${found.name}.`));
        }, { class: "main" }),
      );
    } catch (error) {
      shown.replaceChildren(h("p", { class: "refusal" }, error instanceof Error ? error.message : String(error)));
    }
  };
  file.addEventListener("change", () => void read());
  kind.addEventListener("change", () => void read());
  const drop = h("div", { class: "import drop" }, h("label", { for: "site-kind" }, "What it is"), kind, h("label", { for: "site-file" }, "File"), file, shown);
  drop.addEventListener("dragover", (event) => event.preventDefault());
  drop.addEventListener("drop", (event) => {
    event.preventDefault();
    if (event.dataTransfer?.files.length) {
      file.files = event.dataTransfer.files;
      void read();
    }
  });
  return drop;
}
