// The file underneath, its findings, its history, and named versions side by side.

import { paths, type Comparison, type EditView, type FindingView, type JobView, type VersionView } from "./api";
import { address, differenceList, get, send } from "./client";
import { button, dialog, h } from "./dom";
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
      file.readable ? differenceList(file.differences, "here", "in the file") : h("p", {}, "As it stands it cannot be read; taken, it says where."),
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
  const before = h("select", { id: "compare-before" });
  const after = h("select", { id: "compare-after" });
  const pair = h(
    "form",
    { class: "typed", hidden: true },
    h("label", { for: before.id }, "Lay"),
    before,
    h("label", { for: after.id }, "beside"),
    after,
    h("button", { type: "submit" }, "Compare"),
  );
  pair.addEventListener("submit", (event) => {
    event.preventDefault();
    void compare(sheet, before.value, after.value, compared);
  });
  const choices = (all: VersionView[]): HTMLElement[] => all.map((one) => h("option", { value: one.name }, one.name));
  const rows = (all: VersionView[]): HTMLElement[] => {
    before.replaceChildren(...choices(all));
    after.replaceChildren(h("option", { value: "" }, "the job as it stands now"), ...choices(all));
    pair.hidden = all.length === 0;
    return all.map((one) =>
      h(
        "li",
        {},
        h("strong", {}, one.name),
        h("span", { class: "small" }, one.here ? " as it stands now " : ` ${when(one.at)} `),
        button("Compare with now", () => { before.value = one.name; after.value = ""; void compare(sheet, one.name, "", compared); }, { class: "quiet" }),
        button("Go back to it", async () => { await sheet.edit("restoreVersion", "POST", {}, { name: one.name }); box.close(); }, { class: "quiet" }),
        button("Forget the name", () => void send<VersionView[]>("DELETE", address(paths.forgetVersion, { job, name: one.name })).then((now) => list.replaceChildren(...rows(now))), { class: "quiet" }),
      ),
    );
  };
  const list = h("ul", { class: "plain-list versions" }, rows(versions));
  const box = dialog(
    "Versions",
    keep,
    said,
    list,
    pair,
    compared,
    h("details", {}, h("summary", {}, "Latest edits"), h("ol", { class: "plain-list" }, edits.map((one) => h("li", {}, one.what, h("span", { class: "small" }, ` ${when(one.at)}`))))),
  );
}

function when(at: string): string {
  return new Date(at).toLocaleString(undefined, { dateStyle: "medium", timeStyle: "short" });
}

async function compare(sheet: Sheet, before: string, after: string, into: HTMLElement): Promise<void> {
  into.replaceChildren(h("p", { class: "small" }, "Working both."));
  try {
    const found = await get<Comparison>(address(paths.compare, { job: sheet.job }, { before, after }));
    into.replaceChildren(
      h("h3", {}, `${found.before} against ${found.after}`),
      found.inputs.length ? differenceList(found.inputs, found.before, found.after) : h("p", {}, "The inputs are the same."),
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
