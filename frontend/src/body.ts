// The concrete as a body to turn in the hand; loaded only when somebody asks for it.

import {
  AmbientLight, Box3, BufferAttribute, BufferGeometry, Color, DirectionalLight, EdgesGeometry, LineBasicMaterial, LineSegments, Mesh, MeshLambertMaterial, PerspectiveCamera, Scene, Vector3, WebGLRenderer,
} from "three";
import { OrbitControls } from "three/examples/jsm/controls/OrbitControls.js";
import { paths, type MeshView } from "./api";
import { address, get } from "./client";
import { button, dialog, h } from "./dom";

const STRETCH = 2;

export async function seeBody(job: string): Promise<void> {
  const canvas = h("canvas", { class: "body", tabindex: "0", "aria-label": "The concrete from all sides; arrow keys turn it" });
  const words = h("p", { class: "small" }, "Building it.");
  const box = dialog("The body of the concrete", canvas, words);
  try {
    const mesh = await get<MeshView>(address(paths.readMesh, { job }));
    words.textContent = `${mesh.volume} of concrete. Heights are drawn twice as large. Drag or use the arrow keys to turn it.`;
    const scene = build(mesh);
    const stop = show(canvas, scene.scene, scene.size);
    box.addEventListener("close", stop);
    box.append(h("p", { class: "buttons" }, button("From below", () => canvas.dispatchEvent(new CustomEvent("look", { detail: -1 }))), button("From above", () => canvas.dispatchEvent(new CustomEvent("look", { detail: 1 })))));
  } catch (error) {
    words.textContent = error instanceof Error ? error.message : String(error);
  }
}

function colour(name: string): Color {
  return new Color(getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim() || "#888");
}

function build(mesh: MeshView): { scene: Scene; size: Vector3 } {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(new Float32Array(mesh.positions), 3));
  geometry.setIndex(mesh.triangles);
  const flat = geometry.toNonIndexed();
  flat.computeVertexNormals();
  flat.computeBoundingBox();
  const bounds = flat.boundingBox ?? new Box3();
  const centre = bounds.getCenter(new Vector3());
  const size = bounds.getSize(new Vector3());
  const body = new Mesh(flat, new MeshLambertMaterial({ color: colour("dry"), flatShading: true }));
  const lines = new LineSegments(new EdgesGeometry(flat, 12), new LineBasicMaterial({ color: colour("ink") }));
  const scene = new Scene();
  scene.background = colour("paper");
  for (const one of [body, lines]) {
    one.position.set(-centre.x, -centre.y, -centre.z * STRETCH);
    one.scale.set(1, 1, STRETCH);
    scene.add(one);
  }
  const sun = new DirectionalLight(0xffffff, 2.2);
  sun.position.set(-1, -1.5, 2.5);
  const under = new DirectionalLight(0xffffff, 1.2);
  under.position.set(1, 1, -2);
  scene.add(sun, under, new AmbientLight(0xffffff, 0.9));
  return { scene, size };
}

function show(canvas: HTMLCanvasElement, scene: Scene, size: Vector3): () => void {
  const renderer = new WebGLRenderer({ canvas, antialias: true });
  const camera = new PerspectiveCamera(35, 1, 0.1, 2000);
  camera.up.set(0, 0, 1);
  const far = 1.5 * Math.max(size.x, size.y, size.z);
  const controls = new OrbitControls(camera, canvas);
  controls.listenToKeyEvents(canvas);
  controls.keyPanSpeed = 20;
  const look = (side: number): void => {
    camera.position.set(-0.5 * far, -0.9 * far, side * 0.75 * far);
    controls.update();
  };
  const fit = (): void => {
    const { clientWidth, clientHeight } = canvas;
    renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
    renderer.setSize(clientWidth, clientHeight, false);
    camera.aspect = clientWidth / Math.max(clientHeight, 1);
    camera.updateProjectionMatrix();
    draw();
  };
  const draw = (): void => {
    renderer.render(scene, camera);
    canvas.dataset["drawn"] = "yes";
  };
  canvas.addEventListener("look", (event) => { look((event as CustomEvent<number>).detail); draw(); });
  canvas.addEventListener("keydown", (event) => {
    const turn: Record<string, [number, number]> = { ArrowLeft: [-0.15, 0], ArrowRight: [0.15, 0], ArrowUp: [0, 0.12], ArrowDown: [0, -0.12] };
    const by = turn[event.key];
    if (!by) return;
    event.preventDefault();
    camera.position.applyAxisAngle(new Vector3(0, 0, 1), by[0]);
    camera.position.z += by[1] * far;
    controls.update();
    draw();
  });
  controls.addEventListener("change", draw);
  const watch = new ResizeObserver(fit);
  watch.observe(canvas);
  look(-1);
  fit();
  return () => {
    watch.disconnect();
    controls.dispose();
    renderer.dispose();
  };
}
