// Values of the job file, editable in place. What is typed is sent as typed; the desk reads it.

import type { EntryView, FieldView, JobView, SectionView } from "./api";
import { button, h } from "./dom";
import type { Sheet } from "./sheet";

const SECTION_OF: Record<string, string> = { family: "job", codes: "job" };

/** Fill a box with the sections that a question reads; a field that is being typed in is left alone. */
export function inputsOf(box: HTMLElement, sheet: Sheet, view: JobView, reads: string[], owner: string): void {
  const keys = [...new Set(reads.map((one) => SECTION_OF[one] ?? one))];
  const sections = view.sections.filter((one) => keys.includes(one.key) && !(one.key === "job"));
  const active = document.activeElement;
  if (active instanceof HTMLElement && box.contains(active) && active.matches("input, select, textarea")) {
    refresh(box, view);
    return;
  }
  const open = new Set([...box.querySelectorAll<HTMLDetailsElement>("details[open]")].map((one) => one.dataset["path"] ?? ""));
  box.replaceChildren(
    h("h4", {}, "What it rests on"),
    ...sections.map((section) => sectionBox(sheet, section, open, owner)),
  );
}

/** Open a section among the inputs, with the keyboard on one of its fields. */
export function showInput(box: HTMLElement, key: string, path = ""): void {
  const section = box.querySelector<HTMLDetailsElement>(`.section[data-path="${CSS.escape(key)}"]`);
  if (!section) return;
  const unfold = (one: HTMLDetailsElement | null): void => {
    if (!one) return;
    one.open = true;
    one.dispatchEvent(new Event("toggle"));
  };
  unfold(section);
  const find = (): HTMLElement | null => section.querySelector(path ? `[data-path="${CSS.escape(path)}"]` : "input, select, textarea");
  for (let field = find(), turn = 0; ; field = find(), turn += 1) {
    if (field || turn === 2) {
      (field ?? section.querySelector("summary"))?.scrollIntoView({ block: "center" });
      (field ?? section.querySelector<HTMLElement>("summary"))?.focus({ preventScroll: true });
      return;
    }
    for (const one of section.querySelectorAll<HTMLDetailsElement>(".blank, .silent")) unfold(one);
  }
}

function refresh(box: HTMLElement, view: JobView): void {
  const fields = new Map(view.sections.flatMap((section) => section.entries.flatMap((entry) => entry.fields.map((one) => [one.path, one] as const))));
  for (const control of box.querySelectorAll<Control>("[data-path]")) {
    const field = fields.get(control.dataset["path"] ?? "");
    if (field && control !== document.activeElement && "value" in control) control.value = field.text ?? "";
  }
}

function sectionBox(sheet: Sheet, section: SectionView, open: Set<string>, owner: string): HTMLElement {
  const stated = section.entries.filter((one) => one.stated);
  const summary = section.listed ? `${stated.length || "none"}` : stated.length ? "" : "not stated";
  const box = h(
    "details",
    { class: "section", "data-path": section.key, open: open.has(section.key) },
    h("summary", {}, section.title, summary ? h("span", { class: "small" }, ` ${summary}`) : ""),
  );
  const fill = (): void => {
    if (box.childElementCount > 1) return;
    for (const entry of section.entries) box.append(entryBox(sheet, section, entry, owner));
    if (section.blank) box.append(blankBox(sheet, section.blank, owner));
  };
  box.addEventListener("toggle", fill);
  if (box.open) fill();
  return box;
}

/** The values of one entry of the job file: those stated, and the others on demand. */
export function entryRows(sheet: Sheet, path: string, owner: string): HTMLElement[] {
  const entry = sheet.view.sections.flatMap((one) => one.entries).find((one) => one.path === path);
  if (!entry) return [];
  return rows(sheet, entry.fields.filter((one) => !PLACED.has(one.path.slice(path.length + 1))), owner);
}

function rows(sheet: Sheet, fields: FieldView[], owner: string): HTMLElement[] {
  const stated = fields.filter((one) => one.text !== null || one.required);
  const silent = fields.filter((one) => !stated.includes(one));
  const more = h("details", { class: "silent" }, h("summary", {}, "Not stated"));
  more.addEventListener("toggle", () => { if (more.childElementCount === 1) more.append(...silent.map((one) => fieldRow(sheet, one, owner))); });
  return [...stated.map((one) => fieldRow(sheet, one, owner)), ...(silent.length ? [more] : [])];
}

const PLACED = new Set(["at", "grid", "line", "run", "on"]);

function entryBox(sheet: Sheet, section: SectionView, entry: EntryView, owner: string): HTMLElement {
  if (!section.listed && !entry.stated) return blankBox(sheet, entry, owner, section.title);
  const box = h("div", { class: "entry" });
  if (section.listed) box.append(h("h5", {}, entry.title));
  box.append(...rows(sheet, entry.fields, owner));
  if (section.listed) box.append(button("Take it out", () => void sheet.change({ [entry.path]: null }, `${entry.title} taken out`), { class: "quiet" }));
  return box;
}

/** A table that is not in the file yet: what is filled in goes in at once. */
function blankBox(sheet: Sheet, entry: EntryView, owner: string, title = ""): HTMLElement {
  const box = h("details", { class: "blank" }, h("summary", {}, title ? `Put in: ${title.toLowerCase()}` : entry.title));
  box.addEventListener("toggle", () => {
    if (box.childElementCount > 1) return;
    const controls = entry.fields.map((one) => [one, control(one, `${owner}-new`)] as const);
    const said = h("p", { class: "refusal", role: "alert" });
    box.append(
      ...controls.map(([one, input]) => row(one, input)),
      said,
      button("Put it in", async () => {
        const typed: Record<string, unknown> = {};
        const table = entry.path.endsWith("[+]");
        for (const [one, input] of controls) {
          if (input.value === "") continue;
          const path = table && Object.keys(typed).length ? one.path.replace("[+]", `[${count(sheet, entry.path) + 1}]`) : one.path;
          typed[path] = input.value;
        }
        said.textContent = Object.keys(typed).length ? await sheet.change(typed, `${title || entry.title}`) : "Nothing is filled in.";
      }),
    );
  });
  return box;
}

function count(sheet: Sheet, path: string): number {
  const key = path.replace("[+]", "");
  return sheet.view.sections.find((one) => one.key === key)?.entries.length ?? 0;
}

type Control = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement;

const LONG = 34;

function control(field: FieldView, owner: string): Control {
  const id = `${owner}-${field.path}`.replace(/[^\w-]+/g, "-");
  const choices = field.kind === "flag" ? ["yes", "no"] : (field.choices ?? []);
  if (field.kind === "choice" || field.kind === "flag") {
    const list = h("select", { id, "data-path": field.path }, h("option", { value: "" }, field.silent ? `${field.silent} unless stated` : "not stated"));
    for (const one of choices) list.append(h("option", { value: one }, one));
    list.value = field.text ?? "";
    return list;
  }
  if ((field.kind === "shape" || field.kind === "text") && (field.text ?? "").length > LONG) {
    const rows = String(Math.min(6, Math.ceil((field.text ?? "").length / LONG)));
    return h("textarea", { id, "data-path": field.path, rows, value: field.text ?? "", autocomplete: "off", spellcheck: "false" });
  }
  return h("input", {
    id,
    type: "text",
    "data-path": field.path,
    value: field.text ?? "",
    placeholder: field.silent ? `${field.silent} unless stated` : field.example ? `such as ${field.example}` : "",
    autocomplete: "off",
    spellcheck: "false",
  });
}

function row(field: FieldView, input: Control, said?: HTMLElement): HTMLElement {
  return h(
    "div",
    { class: "field" },
    h("label", { for: input.id, title: field.help }, field.label),
    input,
    field.help ? h("span", { class: "help small" }, field.help) : "",
    said ?? "",
  );
}

function fieldRow(sheet: Sheet, field: FieldView, owner: string): HTMLElement {
  const input = control(field, owner);
  const said = h("span", { class: "refusal", role: "alert" });
  let sent: string | null = null;
  const put = async (): Promise<void> => {
    if (input.value === sent) return;
    if (input.value === (field.text ?? "")) {
      said.textContent = "";
      input.removeAttribute("aria-invalid");
      return;
    }
    sent = input.value;
    const refusal = await sheet.change({ [field.path]: sent === "" ? null : sent }, field.label);
    said.textContent = refusal;
    if (refusal) input.setAttribute("aria-invalid", "true");
    else {
      input.removeAttribute("aria-invalid");
      field.text = sent === "" ? null : sent;
    }
    sent = null;
  };
  input.addEventListener("change", () => void put());
  input.addEventListener("keydown", (event) => {
    const key = (event as KeyboardEvent).key;
    if (key === "Escape") {
      input.value = field.text ?? "";
      void put();
    }
    if (key === "Enter") {
      if (input instanceof HTMLTextAreaElement) event.preventDefault();
      void put();
    }
  });
  return row(field, input, said);
}
