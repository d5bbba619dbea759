// Talking to the desk: every request, the news, and what to do when another writer was first.

import { paths, type Conflict, type Difference, type JobView, type Refusal } from "./api";
import { button, dialog, h, notice } from "./dom";

type Path = (typeof paths)[keyof typeof paths];

export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly refusal: Refusal,
  ) {
    super(refusal.message);
  }
}

export class Clashed extends Error {
  constructor(readonly conflict: Conflict) {
    super(conflict.message);
  }
}

/** A path with its parts filled in. */
export function address(path: Path, parts: Record<string, string> = {}, query: Record<string, string | number> = {}): string {
  const filled = path.replace(/\{(\w+)\}/g, (_, key: string) => encodeURIComponent(parts[key] ?? ""));
  const asked = new URLSearchParams(Object.entries(query).map(([key, value]) => [key, String(value)])).toString();
  return asked ? `${filled}?${asked}` : filled;
}

export async function send<T>(method: string, url: string, body?: unknown): Promise<T> {
  const form = body instanceof FormData;
  const headers: Record<string, string> = { "X-Slabwright": "1" };
  if (body !== undefined && !form) headers["Content-Type"] = "application/json";
  const request: RequestInit = { method, headers };
  if (body !== undefined) request.body = form ? body : JSON.stringify(body);
  let answer: Response;
  try {
    answer = await fetch(url, request);
  } catch {
    throw new Refused(0, { message: "The desk does not answer; see whether slabwright serve still runs.", findings: [] });
  }
  if (answer.ok) return (await answer.json()) as T;
  const said: unknown = await answer.json().catch(() => ({ message: `The desk said ${answer.status}.`, findings: [] }));
  if (answer.status === 409) throw new Clashed(said as Conflict);
  throw new Refused(answer.status, said as Refusal);
}

export const get = <T>(url: string): Promise<T> => send<T>("GET", url);

/** Send a change made from a version; where another writer was first, merge or ask. */
export async function change(
  job: string,
  version: string,
  path: Path,
  method: string,
  body: Record<string, unknown>,
  parts: Record<string, string> = {},
): Promise<JobView | null> {
  const url = address(path, { job, ...parts });
  try {
    return await send<JobView>(method, url, { version, ...body });
  } catch (error) {
    if (!(error instanceof Clashed)) throw error;
    const { conflict } = error;
    if (conflict.underneath) {
      notice(conflict.message, "refused");
      return null;
    }
    const free = conflict.clashes.length === 0 && method === "PATCH";
    if (!free && !(await wanted(conflict))) return null;
    notice(free ? `${conflict.message} Both edits stand.` : "Your edit was put over the other one.");
    return change(job, conflict.version, path, method, body, parts);
  }
}

export function differenceList(differences: Difference[], before = "before", after = "after"): HTMLElement {
  const shown = differences.slice(0, 40);
  return h(
    "table",
    { class: "plain" },
    h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "where"), h("th", { scope: "col" }, before), h("th", { scope: "col" }, after))),
    h(
      "tbody",
      {},
      shown.map((one) => h("tr", {}, h("td", {}, one.words || one.path), h("td", {}, one.before ?? "–"), h("td", {}, one.after ?? "–"))),
      differences.length > 40 && h("tr", {}, h("td", { colspan: "3" }, `and ${differences.length - 40} more`)),
    ),
  );
}

function wanted(conflict: Conflict): Promise<boolean> {
  return new Promise((resolve) => {
    let answer = false;
    const pick = (value: boolean) => () => {
      answer = value;
      box.close();
    };
    const box = dialog(
      "Another window was first",
      h("p", {}, conflict.message),
      differenceList(conflict.others, "when you began", "now"),
      h("p", { class: "buttons" }, button("Keep the other edit", pick(false)), button("Put mine over it", pick(true), { class: "main" })),
    );
    box.addEventListener("close", () => resolve(answer));
  });
}

export type News =
  | { type: "open" }
  | { type: "progress"; done: number; total: number; now: string; version: string }
  | { type: "strip"; version: string; strip: import("./api").StripView; before: import("./api").BeforeView | null }
  | { type: "drawing"; version: string; key: string; digest: string; small: string }
  | { type: "notes"; notes: string[]; version: string }
  | { type: "done"; version: string; whole: boolean; message: string }
  | { type: "job"; version: string; underneath: boolean };

/** Listen to a job; the browser connects again by itself, and hears "open" each time. */
export function listen(job: string, hear: (news: News) => void): EventSource {
  const source = new EventSource(address(paths.listen, { job }));
  source.onmessage = (event: MessageEvent<string>) => hear(JSON.parse(event.data) as News);
  return source;
}
