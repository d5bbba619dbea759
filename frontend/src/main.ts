import "./styles/sheet.css";
import { paths, type DeskView, type SettingsView } from "./api";
import { address, get, send } from "./client";
import { button, drawing, h, notice } from "./dom";
import { startPage } from "./start";
import { Sheet } from "./sheet";

const head = document.getElementById("head") as HTMLElement;
const main = document.getElementById("sheet") as HTMLElement;
let sheet: Sheet | null = null;

export const marks = new Map<string, string>();

export type Mode = SettingsView["mode"] & string;
const MODES: Mode[] = ["light", "dark", "sun"];

function setMode(mode: Mode): void {
  if (mode === "light") document.documentElement.removeAttribute("data-mode");
  else document.documentElement.setAttribute("data-mode", mode);
}

async function open(): Promise<void> {
  sheet?.close();
  sheet = null;
  const desk = await get<DeskView>(address(paths.readDesk));
  for (const [state, svg] of Object.entries(desk.marks)) marks.set(state, svg);
  const wanted = decodeURIComponent(location.hash.slice(1));
  const job = desk.jobs.find((one) => one.id === wanted) ?? (wanted === "" && desk.jobs.length === 1 ? desk.jobs[0] : undefined);
  main.replaceChildren(h("p", { class: "lonely" }, "Opening it."));
  if (job) {
    sheet = new Sheet(job.id, head, main, desk);
    await sheet.open();
  } else {
    startPage(desk, head, main);
  }
}

/** The mark of a state with its word. */
export function stateMark(state: string): HTMLElement {
  return h("span", { class: "state", "data-state": state }, drawing((marks.get(state) ?? "").replace('role="img"', 'aria-hidden="true"')), state);
}

/** Light, dark or sun. */
export function modeSwitch(): HTMLElement {
  const now = (document.documentElement.getAttribute("data-mode") ?? "light") as Mode;
  const box = h("span", { class: "choice", role: "group", "aria-label": "Light" });
  for (const mode of MODES) {
    const one = button(mode, () => {
      setMode(mode);
      for (const other of box.querySelectorAll("button")) other.setAttribute("aria-pressed", String(other === one));
      send("PUT", address(paths.writeSettings), { mode }).catch(() => undefined);
    });
    one.setAttribute("aria-pressed", String(mode === now));
    box.append(one);
  }
  return box;
}

window.addEventListener("hashchange", () => void start());

async function start(): Promise<void> {
  try {
    await open();
  } catch (error) {
    main.replaceChildren(h("p", { class: "lonely" }, error instanceof Error ? error.message : String(error)));
  }
}

get<SettingsView>(address(paths.readSettings))
  .then((wishes) => setMode(wishes.mode ?? "light"))
  .catch(() => notice("The desk does not answer.", "refused"))
  .finally(() => void start());
