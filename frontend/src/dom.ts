// Small helpers to build the page. Text is always set as text; drawings come as SVG from the desk itself.

export type Child = Node | string | null | undefined | false | Child[];
type Props = Record<string, unknown>;

/** An element with properties, attributes and children. Keys that begin with "on" are listeners. */
export function h<K extends keyof HTMLElementTagNameMap>(tag: K, props: Props = {}, ...children: Child[]): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  set(element, props);
  append(element, children);
  return element;
}

const SVG = "http://www.w3.org/2000/svg";

/** An SVG element with attributes. */
export function s<K extends keyof SVGElementTagNameMap>(tag: K, props: Props = {}, ...children: Child[]): SVGElementTagNameMap[K] {
  const element = document.createElementNS(SVG, tag);
  set(element, props);
  append(element, children);
  return element;
}

function set(element: Element, props: Props): void {
  for (const [key, value] of Object.entries(props)) {
    if (value === undefined || value === null || value === false) continue;
    if (key.startsWith("on") && typeof value === "function") {
      element.addEventListener(key.slice(2), value as EventListener);
    } else if (key === "value" || key === "checked" || key === "disabled" || key === "open" || key === "selected") {
      (element as unknown as Record<string, unknown>)[key] = value;
    } else {
      element.setAttribute(key, value === true ? "" : String(value));
    }
  }
}

function append(element: Element, children: Child[]): void {
  for (const child of children) {
    if (Array.isArray(child)) append(element, child);
    else if (child !== null && child !== undefined && child !== false) element.append(child);
  }
}

const parser = new DOMParser();

/** A drawing that the desk made, as a node; nothing where there is none. */
export function drawing(svg: string): Node | null {
  if (!svg) return null;
  const found = parser.parseFromString(svg, "image/svg+xml").documentElement;
  return found.tagName === "svg" ? document.importNode(found, true) : null;
}

export function button(text: string, onclick: () => unknown, props: Props = {}): HTMLButtonElement {
  return h("button", { type: "button", onclick, ...props }, text);
}

/** Say something in passing; it stays until it is read or a few seconds have gone. */
export function notice(text: string, kind: "plain" | "refused" = "plain"): void {
  const box = document.getElementById("notices");
  if (!box) return;
  const line = h("p", { class: `notice ${kind}` }, text);
  box.append(line);
  while (box.childElementCount > 3) box.firstElementChild?.remove();
  setTimeout(() => line.remove(), kind === "refused" ? 9000 : 5000);
}

/** A dialog that is on top until it is answered; Escape closes it. */
export function dialog(title: string, ...children: Child[]): HTMLDialogElement {
  const head = h("h2", { id: "dialog-title" }, title);
  const close = button("Close", () => box.close(), { class: "quiet close" });
  const box: HTMLDialogElement = h("dialog", { "aria-labelledby": "dialog-title" }, h("div", { class: "dialog-head" }, head, close), ...children);
  box.addEventListener("close", () => box.remove());
  document.body.append(box);
  box.showModal();
  return box;
}
