// The long sheet of one job: the plan to take hold of, then every question in the order of the work.

import { paths, type DeskView, type JobView, type PlacedStrip, type PlanView } from "./api";
import { address, change, get, listen, Refused, send, type News } from "./client";
import { button, h } from "./dom";
import { papersMenu, showPapers } from "./papers";
import { fileBanner, findingsBox, historyMenu } from "./versions";
import { modeSwitch, stateMark } from "./main";
import { LivingPlan } from "./plan";
import { Strip } from "./strip";

const stay = (event: DragEvent): void => { if (event.dataTransfer?.types.includes("Files")) event.preventDefault(); };

const JOINTS = "joints";

export class Sheet {
  view!: JobView;
  private strips = new Map<string, Strip>();
  private source: EventSource | null = null;
  private plan: LivingPlan;
  private body = h("div", { class: "strips" });
  private top = h("div", { class: "top" });
  private work = h("p", { class: "work", role: "status", "aria-live": "polite" });
  private notes = h("ul", { class: "plain-list notes" });
  private reading = false;
  private missed = false;
  private busy = 0;
  private latest: Promise<void> = Promise.resolve();
  private closed = false;
  private rest: object | null = null;
  private reached: HTMLElement | null = null;

  constructor(
    readonly job: string,
    private head: HTMLElement,
    private main: HTMLElement,
    private desk: DeskView,
  ) {
    this.plan = new LivingPlan(this);
  }

  async open(): Promise<void> {
    this.view = await get<JobView>(address(paths.readJob, { job: this.job }));
    this.main.replaceChildren(this.top, this.plan.element, this.work, this.notes, this.body);
    this.show(this.view);
    this.source = listen(this.job, (news) => this.hear(news));
    await this.again();
    document.addEventListener("keydown", this.keys);
    document.addEventListener("dragover", stay);
    document.addEventListener("drop", this.drop);
  }

  close(): void {
    this.closed = true;
    this.source?.close();
    document.removeEventListener("keydown", this.keys);
    document.removeEventListener("dragover", stay);
    document.removeEventListener("drop", this.drop);
  }

  /** Change values by key path; resolves to why it was refused, or nothing. */
  async change(changes: Record<string, unknown>, what = ""): Promise<string> {
    return this.edit("changeJob", "PATCH", { changes, what });
  }

  /** Edits go out one after the other, each from the state that the one before left. */
  async edit(
    path: "changeJob" | "moveThing" | "placeThing" | "removeThing" | "undo" | "redo" | "restoreVersion" | "takeOutline",
    method: string,
    body: Record<string, unknown> = {},
    parts: Record<string, string> = {},
  ): Promise<string> {
    const before = this.latest;
    let over: () => void = () => undefined;
    this.latest = new Promise((resolve) => { over = resolve; });
    this.busy += 1;
    await before;
    try {
      const view = await change(this.job, this.view.version, paths[path], method, body, parts);
      if (view) this.show(view);
      else await this.reload();
      return "";
    } catch (error) {
      if (error instanceof Refused) return error.message;
      throw error;
    } finally {
      this.busy -= 1;
      over();
    }
  }

  async undo(): Promise<void> {
    if (this.view.can_undo !== null) await this.edit("undo", "POST");
  }

  async redo(): Promise<void> {
    if (this.view.can_redo !== null) await this.edit("redo", "POST");
  }

  async reload(): Promise<void> {
    this.show(await get<JobView>(address(paths.readJob, { job: this.job })));
  }

  show(view: JobView): void {
    if (this.closed) return;
    this.view = view;
    this.main.dataset["version"] = view.version;
    document.title = `${view.name} – slabwright`;
    this.showHead();
    this.top.replaceChildren(...fileBanner(this), ...findingsBox(view.findings));
    this.plan.show(view);
    for (const strip of this.strips.values()) strip.showInputs(view);
  }

  /** A question whose answer is the same but which shows what lies beside the job file. */
  refresh(key: string): void {
    this.strips.get(key)?.refresh();
  }

  private showHead(): void {
    const { view } = this;
    const units = h("span", { class: "choice", role: "group", "aria-label": "Units" });
    for (const family of ["US", "SI"] as const) {
      units.append(
        button(family, () => void this.change({ "job.units": family }, `Units ${family}`), { "aria-pressed": String(view.family === family) }),
      );
    }
    this.head.replaceChildren(
      h("h1", {}, h("a", { href: "#", class: "home", title: "All jobs" }, "slabwright"), h("span", { class: "job-name" }, view.name)),
      h("span", { class: "spring" }),
      button("Undo", () => void this.undo(), { disabled: view.can_undo === null, title: view.can_undo ? `Undo: ${view.can_undo}` : "Nothing to undo" }),
      button("Redo", () => void this.redo(), { disabled: view.can_redo === null, title: view.can_redo ? `Redo: ${view.can_redo}` : "Nothing to redo" }),
      historyMenu(this),
      papersMenu(this),
      units,
      modeSwitch(),
    );
    if (this.desk.jobs.length < 2) this.head.querySelector(".home")?.setAttribute("href", "#new");
  }

  private keys = (event: KeyboardEvent): void => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const typing = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement;
    if (event.key.toLowerCase() !== "z" || (typing && (event.target as HTMLInputElement).value !== (event.target as HTMLInputElement).defaultValue)) return;
    event.preventDefault();
    void (event.shiftKey ? this.redo() : this.undo());
  };

  /** A file dropped anywhere on the sheet is shown before it is taken. */
  private drop = (event: DragEvent): void => {
    const file = event.dataTransfer?.files[0];
    if (!file || event.defaultPrevented) return;
    event.preventDefault();
    void showPapers(this, file);
  };

  /** The whole plan anew; news that came in meanwhile may be younger than what was read, so it is read again. */
  private async again(): Promise<void> {
    if (this.reading) {
      this.missed = true;
      return;
    }
    do {
      this.missed = false;
      this.reading = true;
      await this.readPlan().finally(() => (this.reading = false));
    } while (this.missed && !this.closed);
  }

  private async readPlan(): Promise<void> {
    const plan = await get<PlanView>(address(paths.readPlan, { job: this.job }));
    let stage = "";
    for (const placed of plan.strips) {
      const known = this.strips.get(placed.strip.key);
      if (known) {
        this.place(known, placed);
        continue;
      }
      if (placed.strip.stage !== stage) {
        stage = placed.strip.stage;
        this.body.append(h("h2", { class: "stage" }, stage));
      }
      const strip = new Strip(this, placed);
      this.strips.set(placed.strip.key, strip);
      this.place(strip, placed);
      this.body.append(strip.element);
      strip.showInputs(this.view);
    }
    this.showWork(plan.running, plan.done, plan.total, plan.now);
    if (!plan.running && plan.whole) this.settled(plan.version);
    this.showNotes(plan.notes);
    if (!plan.running && !plan.whole && plan.version === this.view.version) this.showEnded(plan.message);
    if (plan.version !== this.view.version && this.view.findings.every((one) => one.warning)) await this.reload();
  }

  private place(strip: Strip, placed: PlacedStrip): void {
    strip.show(placed);
    if (placed.strip.key === JOINTS) void this.plan.laid.again(placed.strip.state === "waiting" ? "" : placed.strip.digest);
  }

  private hear(news: News): void {
    if (this.reading) this.missed = true;
    if (news.type === "open") void this.again();
    else if (news.type === "strip") {
      const placed: PlacedStrip = { strip: news.strip, before: news.before };
      const strip = this.strips.get(news.strip.key);
      if (strip) this.place(strip, placed);
    } else if (news.type === "drawing") {
      this.strips.get(news.key)?.draw(news.small);
    } else if (news.type === "progress") {
      this.showWork(true, news.done, news.total, news.now);
    } else if (news.type === "notes") {
      this.showNotes(news.notes);
    } else if (news.type === "done") {
      this.showWork(false, 0, 0, "");
      if (news.whole && !this.reading) this.settled(news.version);
      if (!news.whole && news.version === this.view.version) this.showEnded(news.message);
    } else if (this.busy === 0 && (news.version !== this.view.version || news.underneath !== this.view.file.changed_underneath)) {
      void this.reload();
    }
  }

  /** What is being worked. */
  private showWork(running: boolean, done: number, total: number, now: string): void {
    delete this.work.dataset["of"];
    this.rest = null;
    for (const [key, strip] of this.strips) strip.working(running && key === now);
    if (!running) {
      this.work.replaceChildren(this.tally());
      return;
    }
    const question = this.strips.get(now)?.question ?? "";
    this.work.replaceChildren(
      h("progress", { max: total, value: done, "aria-label": "Answers" }),
      h("span", {}, question ? `Working: ${question}` : "Working."),
      button("Stop the work", () => void send("POST", address(paths.cancelPlan, { job: this.job })), { class: "quiet" }),
    );
  }

  /** To the next strip of a state below the one that has the focus, and round again. */
  private goTo(state: string): void {
    const all = [...this.strips.values()].filter((one) => one.state === state);
    const after = all.findIndex((one) => one.element === this.reached) + 1;
    const next = all[after % all.length];
    this.reached = next?.element ?? null;
    next?.comeTo();
  }

  /** To a question by its words. */
  goToQuestion(words: string): void {
    [...this.strips.values()].find((one) => one.question === words)?.comeTo();
  }

  /** Every answer is in: once all that hangs on them is drawn, the page says of which version it is. */
  private settled(version: string): void {
    const rest = (this.rest = {});
    void this.plan.settled().then(() => { if (this.rest === rest) this.work.dataset["of"] = version; });
  }

  private showNotes(notes: string[]): void {
    this.notes.replaceChildren(...notes.map((one) => h("li", {}, one)));
  }

  private showEnded(message: string): void {
    this.work.replaceChildren(
      h("span", {}, message || "The work was stopped.", " Answers not worked again are those of before."),
      button("Go on", () => void send("POST", address(paths.planAgain, { job: this.job })), { class: "quiet" }),
    );
  }

  private tally(): HTMLElement {
    const counts = new Map<string, number>();
    for (const strip of this.strips.values()) counts.set(strip.state, (counts.get(strip.state) ?? 0) + 1);
    return h(
      "span",
      { class: "tally" },
      [...counts].map(([state, count]) => h("button", { type: "button", title: "To the next of them", onclick: () => this.goTo(state) }, `${count} `, stateMark(state))),
    );
  }
}
