// The first page: jobs of the folder, a new job in eight questions or fewer, the examples.

import { paths, type DeskView, type JobView, type QuestionView } from "./api";
import { address, Refused, send } from "./client";
import { button, h } from "./dom";
import { modeSwitch } from "./main";

export function startPage(desk: DeskView, head: HTMLElement, main: HTMLElement): void {
  document.title = "slabwright";
  head.replaceChildren(h("h1", {}, "slabwright"), h("span", { class: "spring" }), modeSwitch());
  const jobs = desk.jobs.map((job) =>
    h("li", {}, h("a", { href: `#${encodeURIComponent(job.id)}` }, job.name), h("span", { class: "small" }, job.readable ? job.id : `${job.id}: the file cannot be read`)),
  );
  main.replaceChildren(
    jobs.length > 0 ? h("section", { class: "band" }, h("h2", {}, "Jobs in this folder"), h("ul", { class: "jobs" }, jobs)) : "",
    h("section", { class: "band" }, h("h2", {}, "A new job"), conversation(desk.questions)),
    h("section", { class: "band" }, h("h2", {}, "Or an example to try things on"), examples(desk)),
  );
}

function opened(view: JobView): void {
  location.hash = encodeURIComponent(view.id);
}

function examples(desk: DeskView): HTMLElement {
  const said = h("p", { class: "refusal", role: "alert" });
  const taken = new Set(desk.jobs.map((job) => job.id));
  const begin = async (name: string): Promise<void> => {
    let folder = name;
    for (let number = 2; taken.has(folder); number += 1) folder = `${name}-${number}`;
    try {
      opened(await send<JobView>("POST", address(paths.beginJob), { folder, example: name }));
    } catch (error) {
      said.textContent = error instanceof Error ? error.message : String(error);
    }
  };
  return h(
    "div",
    {},
    h(
      "ul",
      { class: "jobs" },
      desk.examples.map((one) =>
        h("li", {}, button(one.title, () => void begin(one.name), { class: "link" }), h("span", { class: "small" }, one.about)),
      ),
    ),
    said,
  );
}

/** One question at a time; every answer stays in sight and can be changed. */
function conversation(questions: QuestionView[]): HTMLElement {
  const form = h("form", { class: "talk" });
  const answers = new Map<string, HTMLInputElement | HTMLSelectElement>();
  const refusal = h("p", { class: "refusal", role: "alert" });
  const units = unitsSwitch();
  const asked = questions.filter((one) => one.key !== "units");
  const rows = asked.map((question, number) => row(question, number));
  const last = h("p", { class: "buttons", hidden: true }, h("button", { type: "submit", class: "main" }, "Draw it"));

  /** Which units are written; what was not touched yet follows. */
  function unitsSwitch(): HTMLElement {
    const field = h("select", { id: "talk-units" }, ["US", "SI"].map((one) => h("option", { value: one }, words(one))));
    field.addEventListener("change", () => {
      for (const one of asked) {
        const other = answers.get(one.key);
        if (other && (other.value === one.preset || other.value === one.preset_si)) other.value = (field.value === "SI" ? one.preset_si : one.preset) ?? "";
      }
    });
    answers.set("units", field);
    return h("p", { class: "units-of-job" }, h("label", { for: field.id }, "Written in "), field);
  }

  function show(number: number): void {
    const next = rows[number];
    if (next) {
      next.hidden = false;
      next.querySelector<HTMLElement>("input, select")?.focus();
    } else {
      last.hidden = false;
      last.querySelector("button")?.focus();
    }
  }

  function row(question: QuestionView, number: number): HTMLElement {
    const id = `talk-${question.key}`;
    const field =
      question.kind === "choice"
        ? h("select", { id }, question.choices?.map((one) => h("option", { value: one, selected: one === question.preset }, words(one))))
        : h("input", { id, type: "text", value: question.preset ?? "", autocomplete: "off", spellcheck: "false" });
    field.addEventListener("keydown", (event) => {
      if ((event as KeyboardEvent).key === "Enter" && last.hidden) {
        event.preventDefault();
        show(number + 1);
      }
    });
    answers.set(question.key, field);
    return h(
      "div",
      { class: "question", hidden: number > 0 },
      h("label", { for: id }, question.question),
      h("div", { class: "answer" }, field, button("Next", () => show(number + 1), { class: "quiet" })),
      question.help ? h("p", { class: "small" }, question.help) : "",
      h("p", { class: "refusal", role: "alert", "data-of": question.key }),
    );
  }

  async function begin(): Promise<void> {
    for (const one of form.querySelectorAll(".refusal")) one.textContent = "";
    const given = Object.fromEntries([...answers].map(([key, field]) => [key, field.value]));
    const folder = (given["name"] ?? "").replace(/[^A-Za-z0-9 -]+/g, " ").trim().replace(/\s+/g, "-").toLowerCase().slice(0, 50) || "new-job";
    for (let number = 1; number < 40; number += 1) {
      try {
        opened(await send<JobView>("POST", address(paths.beginJob), { folder: number === 1 ? folder : `${folder}-${number}`, answers: given }));
        return;
      } catch (error) {
        const findings = error instanceof Refused ? (error.refusal.findings ?? []) : [];
        if (findings.some((one) => one.where === "folder")) continue;
        for (const one of [...findings].reverse()) {
          const at = form.querySelector(`.refusal[data-of="${CSS.escape(one.where)}"]`);
          if (at) at.textContent = one.message;
          answers.get(one.where)?.focus();
        }
        if (!findings.some((one) => answers.has(one.where))) refusal.textContent = error instanceof Error ? error.message : String(error);
        return;
      }
    }
  }

  form.append(units, ...rows, last, refusal);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void begin();
  });
  return form;
}

function words(choice: string): string {
  return { US: "Feet and inches", SI: "Metres" }[choice] ?? choice;
}
