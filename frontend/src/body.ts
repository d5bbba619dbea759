// The concrete as a body to turn in the hand, with its steel, and distances between picked points; loaded only when asked for.

import {
  AmbientLight, Box3, BufferAttribute, BufferGeometry, Color, CylinderGeometry, DirectionalLight, EdgesGeometry, Group, InstancedMesh, LineBasicMaterial, LineSegments, Matrix4, Mesh, MeshLambertMaterial,
  PerspectiveCamera, Quaternion, Raycaster, Scene, Vector2, Vector3, WebGLRenderer, type Object3D,
} from "three";
import { OrbitControls } from "three/examples/jsm/controls/OrbitControls.js";
import { paths, type MeasureView, type MeshView, type SteelView } from "./api";
import { address, get } from "./client";
import { button, dialog, h } from "./dom";

const STRETCH = 2;
const NEAR_CORNER_PX = 14;
/** How far off the diagonal of the body fits into the width and the height of the window; found by trying. */
const SEEN_WIDE = 1.4;
const SEEN_HIGH = 0.95;

export async function seeBody(job: string): Promise<void> {
  const canvas = h("canvas", { class: "body", tabindex: "0", "aria-label": "The concrete from all sides. Arrow keys turn it, plus and minus bring it nearer; Enter picks the point in the middle." });
  const label = h("span", { class: "measure-label", hidden: true });
  const words = h("p", { class: "small", "aria-live": "polite" }, "Building it.");
  const bar = h("div", { class: "buttons layers-3d" });
  const box = dialog("The body of the concrete", bar, h("div", { class: "body-room" }, canvas, h("span", { class: "middle", "aria-hidden": "true" }), label), words);
  box.classList.add("large");
  try {
    const mesh = await get<MeshView>(address(paths.readMesh, { job }));
    words.textContent = `${mesh.volume} of concrete. Heights are drawn twice as large. Click two points to measure between them.`;
    const view = new BodyView(canvas, label, mesh, job, (said) => (words.textContent = said));
    box.addEventListener("close", () => view.stop());
    bar.append(...controls(view, mesh));
    canvas.focus();
  } catch (error) {
    words.textContent = error instanceof Error ? error.message : String(error);
  }
}

function controls(view: BodyView, mesh: MeshView): HTMLElement[] {
  const boxes: [string, string, boolean][] = [["concrete", "concrete", true], ["through", "see through it", mesh.steel.length > 0]];
  for (const kind of ["bars", "mesh"] as const) {
    const names = [...new Set(mesh.steel.filter((one) => one.kind === kind).map((one) => one.name))];
    if (names.length) boxes.push([kind, `${kind}: ${names.join(", ")}`, true]);
  }
  const toggles = boxes.map(([key, words, on]) => {
    const box = h("input", { type: "checkbox", checked: on, "data-layer": key });
    box.addEventListener("change", () => view.layer(key, box.checked));
    view.layer(key, on);
    return h("label", {}, box, ` ${words}`);
  });
  return [...toggles, button("From below", () => view.look(-1)), button("From above", () => view.look(1)), button("Forget the points", () => view.forget(), { class: "quiet" })];
}

function colour(name: string): Color {
  return new Color(getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim() || "#888");
}

class BodyView {
  private scene = new Scene();
  private group = new Group();
  private body: Mesh;
  private layers = new Map<string, Object3D[]>();
  private renderer: WebGLRenderer;
  private camera = new PerspectiveCamera(35, 1, 0.1, 2000);
  private turn: OrbitControls;
  private watch: ResizeObserver;
  private far: number;
  private points: Vector3[] = [];
  private marks = new Group();

  constructor(
    private canvas: HTMLCanvasElement,
    private label: HTMLElement,
    mesh: MeshView,
    private job: string,
    private say: (text: string) => void,
  ) {
    const [body, lines, centre, size] = concrete(mesh);
    this.body = body;
    this.layers.set("concrete", [body, lines]);
    for (const one of mesh.steel) this.layers.set(one.kind, [...(this.layers.get(one.kind) ?? []), one.kind === "bars" ? rods(one) : wires(one)]);
    this.group.add(...[...this.layers.values()].flat(), this.marks);
    this.group.scale.set(1, 1, STRETCH);
    this.group.position.set(-centre.x, -centre.y, -centre.z * STRETCH);
    this.scene.background = colour("paper");
    this.scene.add(this.group, ...lights());
    const wide = canvas.clientWidth / Math.max(canvas.clientHeight, 1);
    this.far = Math.hypot(size.x, size.y, STRETCH * size.z) * Math.max(SEEN_WIDE / wide, SEEN_HIGH);
    this.renderer = new WebGLRenderer({ canvas, antialias: true });
    this.camera.up.set(0, 0, 1);
    this.turn = new OrbitControls(this.camera, canvas);
    this.turn.addEventListener("change", this.draw);
    canvas.addEventListener("look", (event) => this.look((event as CustomEvent<number>).detail));
    canvas.addEventListener("keydown", this.keys);
    this.pickByPointer();
    this.watch = new ResizeObserver(() => this.fit());
    this.watch.observe(canvas);
    this.look(1);
    this.fit();
  }

  stop(): void {
    this.watch.disconnect();
    this.turn.dispose();
    this.renderer.dispose();
  }

  layer(key: string, on: boolean): void {
    if (key === "through") {
      const material = this.body.material as MeshLambertMaterial;
      material.transparent = on;
      material.opacity = on ? 0.3 : 1;
      material.depthWrite = !on;
      material.needsUpdate = true;
    } else for (const one of this.layers.get(key) ?? []) one.visible = on;
    this.draw();
  }

  look(side: number): void {
    this.camera.position.set(-0.5 * this.far, -0.9 * this.far, side * 0.75 * this.far);
    this.turn.target.set(0, 0, 0);
    this.turn.update();
    this.draw();
  }

  forget(): void {
    this.points = [];
    this.marks.clear();
    this.label.hidden = true;
    this.draw();
  }

  private fit(): void {
    const { clientWidth, clientHeight } = this.canvas;
    this.renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
    this.renderer.setSize(clientWidth, clientHeight, false);
    this.camera.aspect = clientWidth / Math.max(clientHeight, 1);
    this.camera.updateProjectionMatrix();
    this.draw();
  }

  private draw = (): void => {
    this.renderer.render(this.scene, this.camera);
    this.canvas.dataset["drawn"] = "yes";
    this.placeLabel();
  };

  private keys = (event: KeyboardEvent): void => {
    const steps: Record<string, [number, number]> = { ArrowLeft: [-0.15, 0], ArrowRight: [0.15, 0], ArrowUp: [0, 0.12], ArrowDown: [0, -0.12] };
    const nearer: Record<string, number> = { "+": 1 / 1.15, "=": 1 / 1.15, "-": 1.15 };
    const by = steps[event.key];
    const zoom = nearer[event.key];
    if (by) {
      this.camera.position.applyAxisAngle(new Vector3(0, 0, 1), by[0]);
      this.camera.position.z += by[1] * this.far;
    } else if (zoom) this.camera.position.multiplyScalar(zoom);
    else if (event.key === "Enter") void this.pick(new Vector2(0, 0));
    else return;
    event.preventDefault();
    this.turn.update();
    this.draw();
  };

  // --- picking and measuring ---

  private pickByPointer(): void {
    let down: [number, number] = [0, 0];
    this.canvas.addEventListener("pointerdown", (event) => (down = [event.clientX, event.clientY]));
    this.canvas.addEventListener("click", (event) => {
      if (Math.hypot(event.clientX - down[0], event.clientY - down[1]) > 4) return;
      const box = this.canvas.getBoundingClientRect();
      void this.pick(new Vector2((2 * (event.clientX - box.left)) / box.width - 1, 1 - (2 * (event.clientY - box.top)) / box.height));
    });
  }

  private async pick(at: Vector2): Promise<void> {
    const caster = new Raycaster();
    caster.setFromCamera(at, this.camera);
    const hit = caster.intersectObject(this.body)[0];
    if (!hit?.face) {
      this.say("There is no concrete at that place.");
      return;
    }
    if (this.points.length === 2) this.forget();
    this.points.push(this.corner(hit.point, [hit.face.a, hit.face.b, hit.face.c], at));
    this.mark();
    const [a, b] = this.points;
    if (!a || !b) {
      this.say("Pick the second point.");
      return;
    }
    const where = { x1: a.x, y1: a.y, z1: a.z, x2: b.x, y2: b.y, z2: b.z };
    try {
      const found = await get<MeasureView>(address(paths.readMeasure, { job: this.job }, where));
      this.label.textContent = found.straight;
      this.label.hidden = false;
      this.placeLabel();
      this.say(`${found.straight} in a straight line: ${found.along_x} east, ${found.along_y} north, ${found.height} in height. On the plan ${found.distance}.`);
    } catch (error) {
      this.say(error instanceof Error ? error.message : String(error));
    }
  }

  /** The corner of the body that was all but hit, else the place itself; in metres of the job. */
  private corner(at: Vector3, corners: number[], pointer: Vector2): Vector3 {
    const positions = this.body.geometry.getAttribute("position");
    const { clientWidth, clientHeight } = this.canvas;
    for (const number of corners) {
      const local = new Vector3().fromBufferAttribute(positions, number);
      const seen = this.body.localToWorld(local.clone()).project(this.camera);
      if (Math.hypot(((seen.x - pointer.x) * clientWidth) / 2, ((seen.y - pointer.y) * clientHeight) / 2) < NEAR_CORNER_PX) return local;
    }
    return this.body.worldToLocal(at.clone());
  }

  private mark(): void {
    this.marks.clear();
    const material = new LineBasicMaterial({ color: colour("chalk"), depthTest: false });
    const size = this.far / 120;
    const ends = this.points.flatMap((one) => [[size, 0, 0], [0, size, 0], [0, 0, size / STRETCH]].flatMap(([x = 0, y = 0, z = 0]) => [one.clone().add(new Vector3(x, y, z)), one.clone().sub(new Vector3(x, y, z))]));
    if (this.points.length === 2) ends.push(...this.points);
    const lines = new LineSegments(new BufferGeometry().setFromPoints(ends), material);
    lines.renderOrder = 2;
    this.marks.add(lines);
    this.draw();
  }

  private placeLabel(): void {
    const [a, b] = this.points;
    if (!a || !b || this.label.hidden) return;
    const seen = this.group.localToWorld(a.clone().lerp(b, 0.5)).project(this.camera);
    this.label.style.left = `${((seen.x + 1) / 2) * this.canvas.clientWidth}px`;
    this.label.style.top = `${((1 - seen.y) / 2) * this.canvas.clientHeight}px`;
  }
}

function concrete(mesh: MeshView): [Mesh, LineSegments, Vector3, Vector3] {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(new Float32Array(mesh.positions), 3));
  geometry.setIndex(mesh.triangles);
  const flat = geometry.toNonIndexed();
  flat.computeVertexNormals();
  flat.computeBoundingBox();
  const bounds = flat.boundingBox ?? new Box3();
  const body = new Mesh(flat, new MeshLambertMaterial({ color: colour("dry"), flatShading: true }));
  const lines = new LineSegments(new EdgesGeometry(flat, 12), new LineBasicMaterial({ color: colour("ink") }));
  return [body, lines, bounds.getCenter(new Vector3()), bounds.getSize(new Vector3())];
}

function lights(): Object3D[] {
  const sun = new DirectionalLight(0xffffff, 2.2);
  sun.position.set(-1, -1.5, 2.5);
  const under = new DirectionalLight(0xffffff, 1.2);
  under.position.set(1, 1, -2);
  return [sun, under, new AmbientLight(0xffffff, 0.9)];
}

function pairs(steel: SteelView): [Vector3, Vector3][] {
  return steel.lines.flatMap((line) => {
    const points = Array.from({ length: line.length / 3 }, (_, at) => new Vector3(line[3 * at], line[3 * at + 1], line[3 * at + 2]));
    return points.slice(1).map((one, at): [Vector3, Vector3] => [points[at] as Vector3, one]);
  });
}

/** Bars as rods of their own thickness. */
function rods(steel: SteelView): InstancedMesh {
  const all = pairs(steel);
  const shape = new CylinderGeometry(steel.diameter_m / 2, steel.diameter_m / 2, 1, 8);
  const rods = new InstancedMesh(shape, new MeshLambertMaterial({ color: colour("steel") }), all.length);
  const up = new Vector3(0, 1, 0);
  all.forEach(([a, b], number) => {
    const along = b.clone().sub(a);
    const turned = new Quaternion().setFromUnitVectors(up, along.clone().normalize());
    rods.setMatrixAt(number, new Matrix4().compose(a.clone().add(b).multiplyScalar(0.5), turned, new Vector3(1, Math.max(along.length(), 1e-6), 1)));
  });
  return rods;
}

/** Mesh as thin lines. */
function wires(steel: SteelView): LineSegments {
  return new LineSegments(new BufferGeometry().setFromPoints(pairs(steel).flat()), new LineBasicMaterial({ color: colour("steel") }));
}
