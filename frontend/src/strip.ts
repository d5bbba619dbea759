// One question: closed with its answer and a small drawing, opened in place with everything behind it.

import { paths, type CheckView, type JobView, type OpenStrip, type PlacedStrip, type Run, type StatementView } from "./api";
import { address, get } from "./client";
import { levers, whileItGoes } from "./day";
import { button, drawing, h, type Child } from "./dom";
import { inputsOf, showInput } from "./inputs";
import { stateMark } from "./main";
import { showPapers } from "./papers";
import { toSettle } from "./settle";
import type { Sheet } from "./sheet";

const DAY = "placement";

export class Strip {
  readonly element: HTMLElement;
  readonly question: string;
  state = "waiting";
  private placed: PlacedStrip;
  private answer = h("span", { class: "answer-text" });
  private below = h("div", { class: "below" });
  private small = h("div", { class: "small-drawing", "aria-hidden": "true" });
  private inside = h("div", { class: "inside", hidden: true });
  private inputs = h("div", { class: "inputs" });
  private detail = h("div", { class: "detail" });
  private opener: HTMLButtonElement;
  private shown = "";

  constructor(
    private sheet: Sheet,
    placed: PlacedStrip,
  ) {
    this.placed = placed;
    this.question = placed.strip.question;
    const id = `strip-${placed.strip.key}`;
    this.inside.id = `${id}-inside`;
    this.opener = h("button", { type: "button", class: "opener", "aria-expanded": "false", "aria-controls": this.inside.id, onclick: () => this.toggle() });
    this.opener.append(h("span", { class: "question-text" }, this.question), this.answer);
    this.inside.append(this.detail, this.inputs);
    this.element = h(
      "section",
      { class: "strip", id, "data-key": placed.strip.key },
      h("div", { class: "closed" }, h("h3", {}, this.opener), this.below, this.small),
      this.inside,
    );
    this.show(placed);
  }

  show(placed: PlacedStrip): void {
    this.placed = placed;
    const { strip, before } = placed;
    this.state = strip.state;
    this.answer.replaceChildren(...runs(strip.answer));
    this.element.classList.toggle("moved", before !== null);
    const counts = strip.counts;
    this.below.replaceChildren(
      stateMark(strip.state),
      ...[
        said(counts["failing"], "does not hold", "do not hold"),
        said(counts["questions"], "question to ask", "questions to ask"),
        said(counts["assumptions"], "value to confirm", "values to confirm"),
      ].map((text) => (text ? h("span", { class: "small" }, text) : "")),
      before ? h("p", { class: "before" }, h("span", { class: "before-word" }, "before: "), ...runs(before.answer), before.state !== strip.state ? ` (${before.state})` : "") : "",
    );
    if (typeof strip.small === "string") this.draw(strip.small);
    if (!this.inside.hidden && strip.digest !== this.shown) void this.load();
  }

  /** Its small drawing, which comes after the answer; until then the earlier one stays. */
  draw(small: string): void {
    this.small.replaceChildren(drawing(small) ?? "");
  }

  working(now: boolean): void {
    this.element.classList.toggle("working", now);
    if (now) this.element.setAttribute("aria-busy", "true");
    else this.element.removeAttribute("aria-busy");
  }

  showInputs(view: JobView): void {
    if (!this.inside.hidden) inputsOf(this.inputs, this.sheet, view, this.placed.strip.reads, this.placed.strip.key);
  }

  /** Bring it into sight, with the keyboard on it. */
  comeTo(): void {
    this.element.scrollIntoView({ block: "start" });
    this.opener.focus({ preventScroll: true });
  }

  toggle(): void {
    const open = Boolean(this.inside.hidden);
    this.inside.hidden = !open;
    this.opener.setAttribute("aria-expanded", String(open));
    this.element.classList.toggle("open", open);
    if (open) {
      this.showInputs(this.sheet.view);
      if (this.shown !== this.placed.strip.digest) void this.load();
    }
  }

  /** The pour day can be tried otherwise, and is followed while it goes. */
  private day(): HTMLElement[] {
    if (this.placed.strip.key !== DAY || this.state === "waiting") return [];
    const live = h("div", {});
    void whileItGoes(this.sheet.job, live);
    return [levers(this.sheet.job), live];
  }

  /** What a waiting answer lacks, each a step away. */
  private waitsFor(): HTMLElement[] {
    const { strip } = this.placed;
    if (strip.state !== "waiting") return [];
    const words = strip.answer.map((one) => one.text).join("");
    const other = /Waits for [“"](.+)[”"]/.exec(words)?.[1];
    const steps = [
      ...strip.missing.flatMap((key) => this.sheet.view.sections.filter((one) => one.key === key)).map((one) => button(`Put in: ${one.title.toLowerCase()}`, () => showInput(this.inputs, one.key), { class: "main" })),
      ...(other ? [button("To that question", () => this.sheet.goToQuestion(other))] : []),
      ...(/beside the job/.test(words) ? [button("Bring in a file", () => void showPapers(this.sheet))] : []),
    ];
    return steps.length ? [h("p", { class: "buttons" }, steps)] : [];
  }

  /** Where a value taken as given stands among the inputs, to be stated; the words alone where it has no place there. */
  private asGiven = (where: string): Child => {
    const keys = [...this.inputs.querySelectorAll<HTMLElement>(".section")].map((one) => one.dataset["path"] ?? "");
    const pieces = where.split(", ").map((path) => {
      const key = path.split(/[.:]/)[0] ?? "";
      const section = keys.includes(key) ? this.sheet.view.sections.find((one) => one.key === key) : undefined;
      if (!section) return path;
      const field = [...section.entries, ...(section.blank ? [section.blank] : [])].flatMap((one) => one.fields).find((one) => one.path.replace(/\[[^\]]*\]/g, "") === path);
      return button(field ? `${section.title}: ${field.label.toLowerCase()}` : section.title, () => showInput(this.inputs, key, field?.path), { class: "given" });
    });
    return pieces.flatMap((one, number) => (number ? [", ", one] : [one]));
  };

  /** Read it again although its inputs are the same. */
  refresh(): void {
    if (!this.inside.hidden) void this.load();
  }

  private async load(): Promise<void> {
    const wanted = this.placed.strip.digest;
    if (!wanted) return;
    if (!this.shown) this.detail.replaceChildren(h("p", { class: "small" }, "Drawing it."));
    try {
      const open = await get<OpenStrip>(address(paths.readStrip, { job: this.sheet.job, key: this.placed.strip.key }));
      this.shown = open.digest;
      this.element.dataset["opened"] = "yes";
      this.detail.replaceChildren(...this.waitsFor(), ...everything(open, this.placed.strip.key, this.asGiven), ...toSettle(this.sheet, open), ...this.day());
      if (open.digest !== this.placed.strip.digest) void this.load();
    } catch (error) {
      this.detail.replaceChildren(h("p", { class: "refusal" }, error instanceof Error ? error.message : String(error)));
    }
  }
}

/** A sentence in pieces; a number keeps to its unit at the end of a line. */
export function runs(pieces: Run[]): Node[] {
  return pieces.map((one) => {
    const text = one.text.replace(/(\d) (?=[^\s\d])/g, "$1\u00a0");
    return one.figure ? h("strong", {}, text) : document.createTextNode(text);
  });
}

function said(count: number | undefined, one: string, many: string): string {
  return count ? `${count} ${count === 1 ? one : many}` : "";
}

function everything(open: OpenStrip, key: string, asGiven: (where: string) => Child): Node[] {
  return [
    ...open.cautions.map((one) => h("p", { class: "caution" }, one.text, source(one.clause))),
    ...(open.pictures.length ? [h("div", { class: "pictures" }, pictures(open))] : []),
    ...block("Questions to ask", open.referrals.length, () =>
      h(
        "ul",
        { class: "plain-list" },
        open.referrals.map((one) => h("li", {}, h("span", { class: "who" }, `Ask ${one.to}: `), one.question, one.where ? ` (${one.where})` : "", source(one.clause))),
      ),
    ),
    ...block("Checks", open.checks.length, () => checks(open.checks, key)),
    ...block("Taken as given; confirm", open.assumptions.length, () => statements(open.assumptions, asGiven)),
    ...block("To order", open.lines.length, () =>
      table(
        ["item", "quantity", "how it was reckoned"],
        open.lines.map((one) => [one.part ? `of which ${one.item}` : one.item, one.quantity, [one.basis, one.waste].filter(Boolean).join("; ")]),
        [false, true, false],
      ),
    ),
    ...open.tables.filter((one) => one.rows.length).map((one) => folded(one.title, () => [table(one.headings, one.rows, one.numeric), one.note ? h("p", { class: "small" }, one.note) : ""])),
    ...block("What to do, and when", open.tasks.length, () =>
      table(
        ["what", "who", "when", "where"],
        open.tasks.map((one) => [one.what, one.who, one.when, one.where]),
      ),
    ),
  ];
}

function block(title: string, count: number, inside: () => Child): HTMLElement[] {
  return count === 0 ? [] : [h("section", { class: "block" }, h("h4", {}, title), inside())];
}

/** A long thing under its title, filled when it is opened. */
function folded(title: string, inside: () => Child[]): HTMLElement {
  const box = h("details", { class: "block" }, h("summary", {}, h("h4", {}, title)));
  box.addEventListener("toggle", () => {
    if (box.childElementCount === 1) for (const child of inside()) if (child instanceof Node) box.append(child);
  });
  return box;
}

function source(clause: string): Child {
  return clause ? h("span", { class: "source" }, ` ${clause}`) : "";
}

function statements(list: StatementView[], asGiven: (where: string) => Child): HTMLElement {
  return h(
    "ul",
    { class: "plain-list" },
    list.map((one) => h("li", {}, one.text, one.where ? h("span", { class: "source" }, " ", asGiven(one.where), ".") : "", source(one.clause))),
  );
}

function table(headings: string[], rows: string[][], numeric: boolean[] = []): HTMLElement {
  return h(
    "div",
    { class: "wide", tabindex: "0", role: "group", "aria-label": headings.filter(Boolean).join(", ") },
    h(
      "table",
      { class: "plain" },
      h("thead", {}, h("tr", {}, headings.map((one, place) => (one ? h("th", { scope: "col", class: numeric[place] ? "number" : "" }, one) : h("td"))))),
      h("tbody", {}, rows.map((row) => h("tr", {}, row.map((cell, place) => h("td", { class: numeric[place] ? "number" : "" }, cell))))),
    ),
  );
}

/** Drawings with their layers, each of which can be put away. */
function pictures(open: OpenStrip): HTMLElement[] {
  return open.pictures.map((picture) => {
    const figure = h("figure", {}, h("div", { class: "large-drawing" }, drawing(picture.svg)));
    const layers = h("details", { class: "layers" }, h("summary", {}, "Layers"));
    for (const layer of picture.layers) {
      const [name = "", words = ""] = layer.split("|");
      const box = h("input", { type: "checkbox", checked: true });
      box.addEventListener("change", () => {
        for (const group of figure.querySelectorAll(`.${name}`)) group.classList.toggle("put-away", !box.checked);
      });
      layers.append(h("label", {}, box, words));
    }
    figure.append(h("figcaption", {}, picture.title, ...picture.notes.map((note) => h("span", { class: "small" }, ` ${note}`)), layers));
    return figure;
  });
}

const FEW = 8;

/** Checks with their reasoning; the urgent ones first, the rest on demand. */
function checks(list: CheckView[], key: string): HTMLElement {
  const box = h("div", { class: "checks" });
  const show = (from: number, to: number): void => box.append(...list.slice(from, to).map((one) => check(one, key)));
  show(0, FEW);
  if (list.length > FEW) {
    const more = button(`Show ${list.length - FEW} more`, () => {
      more.remove();
      show(FEW, list.length);
    }, { class: "quiet" });
    box.append(more);
  }
  return box;
}

function check(one: CheckView, key: string): HTMLElement {
  const bar = h("span", { class: "bar", "aria-hidden": "true" }, h("span", { class: "fill" }));
  (bar.firstElementChild as HTMLElement).style.width = `${Math.min(100, 80 * one.share)}%`;
  return h(
    "details",
    { class: "check", "data-check": `${key}.${one.key}` },
    h(
      "summary",
      {},
      stateMark(one.state),
      h("span", { class: "check-name" }, one.name, one.where ? h("span", { class: "where" }, `, ${one.where}`) : ""),
      h("span", { class: "check-figures" }, `${one.demand} against ${one.limit}`),
      bar,
      h("span", { class: "ratio" }, one.ratio),
    ),
    h(
      "div",
      { class: "reasoning" },
      one.steps.map((step) =>
        h(
          "div",
          { class: "step" },
          step.note ? h("p", { class: "small" }, step.note) : "",
          h("p", { class: "formula" }, step.symbols),
          h("p", { class: "formula with" }, `= ${step.substituted}`),
          h("p", { class: "formula with" }, `= ${step.result}`),
        ),
      ),
      h("p", { class: "small" }, `Limit: ${one.clause}`),
      one.method ? h("p", { class: "small" }, `Method: ${one.method}`) : "",
      one.governing ? h("p", { class: "small" }, `Governs: ${one.governing}`) : "",
      one.remedy ? h("p", { class: "remedy" }, one.remedy) : "",
    ),
  );
}
