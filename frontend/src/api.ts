// Written by tools/api_types.py from the API's description; not to be edited.

export interface AnswerMoved {
  key: string;
  question: string;
  before: Run[];
  after: Run[];
  before_state: "holds" | "near its limit" | "does not hold" | "ask" | "waiting";
  after_state: "holds" | "near its limit" | "does not hold" | "ask" | "waiting";
  /** By how much its figures and ratios moved. */
  figures: string[];
}

export interface AtVersion {
  version: string;
}

/** What a strip said before the latest edit. */
export interface BeforeView {
  answer: Run[];
  state: "holds" | "near its limit" | "does not hold" | "ask" | "waiting";
}

export interface CheckView {
  key: string;
  name: string;
  where: string;
  state: "holds" | "near its limit" | "does not hold" | "ask" | "waiting";
  demand: string;
  limit: string;
  ratio: string;
  /** The ratio, for drawing. */
  share: number;
  clause: string;
  method: string;
  governing: string;
  remedy: string;
  steps: StepView[];
}

/** A clash between good rules that waits for a decision. */
export interface ClashView {
  clash: string;
  choices: string[];
}

/** Two states of a job side by side. */
export interface Comparison {
  before: string;
  after: string;
  inputs: Difference[];
  answers: AnswerMoved[];
}

/** Why an edit was not taken: the job is at another version by now. */
export interface Conflict {
  message: string;
  version: string;
  /** True where the file itself was changed outside the desk. */
  underneath: boolean;
  others: Difference[];
  /** Key paths that both sides changed; empty where the edit can be sent again as it is. */
  clashes: string[];
}

/** Where the desk stands: its jobs, the examples, the questions of a new job. */
export interface DeskView {
  program: string;
  folder: string;
  jobs: JobCard[];
  examples: ExampleView[];
  questions: QuestionView[];
  /** The shape of each state, as SVG. */
  marks: Record<string, string>;
}

/** A value that two states of a job file hold differently. */
export interface Difference {
  path: string;
  /** The same as the page names it. */
  words: string;
  before: string | null;
  after: string | null;
}

export interface EditView {
  at: string;
  what: string;
}

/** Values to change, by key path; null takes an entry out. */
export interface Edits {
  version: string;
  changes: Record<string, string | boolean | number | unknown[] | Record<string, unknown> | null>;
  what?: string;
}

/** One table of the job file: a section, or one entry of a list of like things. */
export interface EntryView {
  path: string;
  title: string;
  stated: boolean;
  fields: FieldView[];
}

export interface ExampleView {
  name: string;
  title: string;
  about: string;
}

/** One value of the job file, stated or silent. */
export interface FieldView {
  path: string;
  label: string;
  kind: "text" | "quantity" | "choice" | "flag" | "number" | "shape";
  /** As written; null where the file is silent. */
  text: string | null;
  /** What goes without saying. */
  silent: string;
  choices: string[];
  help: string;
  example: string;
  required: boolean;
}

/** A figure of the day as planned and as tried. */
export interface FigureView {
  name: string;
  planned: string;
  tried: string;
  moved: boolean;
}

/** The job file on disk against the state of the desk. */
export interface FileView {
  changed_underneath: boolean;
  readable: boolean;
  differences: Difference[];
}

export interface FindingView {
  where: string;
  message: string;
  line: number | null;
  warning: boolean;
}

export interface JobCard {
  id: string;
  name: string;
  readable: boolean;
}

/** A job as it stands. */
export interface JobView {
  id: string;
  name: string;
  version: string;
  family: "US" | "SI";
  can_undo: string | null;
  can_redo: string | null;
  findings: FindingView[];
  sections: SectionView[];
  things: ThingView[];
  file: FileView;
  street_side: string;
}

/** A joint line as the plan lays it now. */
export interface JointLineView {
  name: string;
  points_m: [[number, number], [number, number]];
  /** Its length and depth of cut. */
  said: string;
}

/** Something about the pour day that can be tried otherwise. */
export interface LeverView {
  key: string;
  words: string;
  low: number;
  high: number;
  step: number;
  value: number;
  planned: number;
  said: string;
}

export interface LineView {
  key: string;
  item: string;
  quantity: string;
  basis: string;
  waste: string;
  clause: string;
  part: boolean;
}

/** What the tickets so far say of the rest of the pour. */
export interface LiveView {
  sentences: string[];
  findings: FindingView[];
}

/** A map that can be laid under the plan. */
export interface MapCard {
  study: string;
  key: string;
  title: string;
}

/** A map in drawing units of so many to the metre, its origin that of the plan, and its legend. */
export interface MapView {
  title: string;
  alt: string;
  svg: string;
  scale: number;
  legend: string;
  notes: string[];
}

/** From one picked point to another. */
export interface MeasureView {
  distance: string;
  along_x: string;
  along_y: string;
  /** How much higher the second point lies; negative where it lies lower. */
  height: string;
  /** The straight line between them, in space. */
  straight: string;
  thickness: [string, string];
}

/** The concrete as triangles, in metres, z up from the top of the floor, and the steel in it. */
export interface MeshView {
  positions: number[];
  triangles: number[];
  volume: string;
  steel: SteelView[];
}

/** A point of a thing on the plan, or all of it, to be put elsewhere: in metres as drawn, as typed, or by the length of a side. */
export interface Move {
  version: string;
  section: string;
  number: number;
  point?: number;
  to_m?: [number, number] | null;
  to?: [string, string] | null;
  /** All its points go along. */
  whole?: boolean;
  /** Of the side from the point to the next, which goes along it. */
  length?: string | null;
  /** Grid that a drawn place is put on, such as 1 in. */
  snap?: string;
}

export interface NewJob {
  folder: string;
  example?: string | null;
  answers?: Record<string, string> | null;
}

/** Everything a strip holds. */
export interface OpenStrip {
  key: string;
  digest: string;
  pictures: PictureView[];
  checks: CheckView[];
  referrals: ReferralView[];
  assumptions: StatementView[];
  cautions: StatementView[];
  lines: LineView[];
  tasks: TaskView[];
  tables: TableView[];
  /** Clashes between good rules that wait for a decision. */
  to_settle: ClashView[];
}

/** What was understood of an outline file. */
export interface OutlinePreview {
  token: string;
  layers: string[];
  layer: string;
  unit: string;
  unit_stated: boolean;
  units: string[];
  /** How large the largest shape is in each of the units. */
  sizes: string[];
  rings: OutlineRing[];
  message: string;
  svg: string;
}

export interface OutlineRing {
  points_m: [number, number][];
  texts: [string, string][];
  area: string;
  size: string;
}

export interface PictureView {
  key: string;
  title: string;
  alt: string;
  svg: string;
  layers: string[];
  notes: string[];
}

/** A new thing on the plan. */
export interface Place {
  version: string;
  section: string;
  points_m: [number, number][];
  /** Of a grid of pads or posts between two points. */
  columns?: number;
  rows?: number;
  snap?: string;
}

export interface PlacedStrip {
  strip: StripView;
  before: BeforeView | null;
}

/** The strips in the order of the work; a strip that is being worked anew keeps its earlier answer meanwhile. */
export interface PlanView {
  version: string;
  running: boolean;
  done: number;
  total: number;
  now: string;
  strips: PlacedStrip[];
  stages: string[];
  /** False where the run was ended or is not through. */
  whole: boolean;
  /** Why a run ended early. */
  message: string;
  /** Records beside the job file that could not be used. */
  notes: string[];
}

/** A place that was typed, as the desk reads it. */
export interface PointView {
  at_m: [number, number];
  texts: [string, string];
}

export interface QuestionView {
  key: string;
  question: string;
  kind: "text" | "quantity" | "choice";
  choices: string[];
  help: string;
  preset: string;
  preset_si: string;
}

export interface ReferralView {
  to: string;
  question: string;
  where: string;
  clause: string;
}

/** Why something was not taken. */
export interface Refusal {
  message: string;
  findings: FindingView[];
}

export interface Remove {
  version: string;
  section: string;
  number: number;
  /** Only this corner of it. */
  point?: number | null;
}

/** A piece of an answer sentence. */
export interface Run {
  text: string;
  figure: boolean;
}

export interface SectionCut {
  svg: string;
  area: string;
  length: string;
}

/** A part of the job that studies read as a whole. */
export interface SectionView {
  key: string;
  title: string;
  help: string;
  /** True where it holds a list of entries. */
  listed: boolean;
  entries: EntryView[];
  /** An empty entry to add one by. */
  blank: EntryView | null;
}

/** Wishes of the one who sits at the desk. */
export interface SettingsView {
  mode?: "light" | "dark" | "sun";
}

/** What was understood of a file of measurements or forecasts. */
export interface SitePreview {
  token: string;
  name: string;
  kind: string;
  summary: string[];
  findings: FindingView[];
}

export interface StatementView {
  where: string;
  text: string;
  clause: string;
}

/** Steel of one size in its place, as centre lines. */
export interface SteelView {
  name: string;
  kind: "bars" | "mesh";
  diameter_m: number;
  /** Each x, y, z, x, y, z and so on. [m] */
  lines: number[][];
}

export interface StepView {
  note: string;
  symbols: string;
  substituted: string;
  result: string;
}

/** A question with its answer, closed. */
export interface StripView {
  key: string;
  question: string;
  stage: string;
  state: "holds" | "near its limit" | "does not hold" | "ask" | "waiting";
  answer: Run[];
  fault: boolean;
  /** Sections of the job file that a waiting answer asks for. */
  missing: string[];
  /** A small drawing; null while it is being drawn, where an earlier one stays. */
  small: string | null;
  digest: string;
  counts: Record<string, number>;
  reads: string[];
}

export interface TableView {
  title: string;
  headings: string[];
  rows: string[][];
  numeric: boolean[];
  note: string;
}

export interface Take {
  version: string;
  token: string;
  ring?: number;
}

export interface TaskView {
  what: string;
  who: string;
  when: string;
  where: string;
}

/** Something that stands on the plan and can be taken hold of there. */
export interface ThingView {
  section: string;
  number: number;
  name: string;
  shape: "ring" | "line" | "point";
  path: string;
  points_m: [number, number][];
  texts: [string, string][];
  /** What it takes up on the plan, for drawing. */
  around_m: [number, number][][];
  /** Length of each side, from its point to the next. */
  sides: string[];
  /** True where it follows another thing and cannot be moved by itself. */
  fixed: boolean;
}

export interface VersionName {
  name: string;
}

export interface VersionView {
  name: string;
  at: string;
  here: boolean;
}

/** The pour day tried otherwise, on the same simulated days as the plan. */
export interface WhatIfView {
  levers: LeverView[];
  figures: FigureView[];
  note: string;
}

export const paths = {
  readDesk: "/api/desk",
  beginJob: "/api/jobs",
  readSettings: "/api/settings",
  writeSettings: "/api/settings",
  readJob: "/api/jobs/{job}",
  changeJob: "/api/jobs/{job}",
  moveThing: "/api/jobs/{job}/move",
  placeThing: "/api/jobs/{job}/place",
  readTypedPoint: "/api/jobs/{job}/point",
  removeThing: "/api/jobs/{job}/remove",
  undo: "/api/jobs/{job}/undo",
  redo: "/api/jobs/{job}/redo",
  readHistory: "/api/jobs/{job}/history",
  takeFile: "/api/jobs/{job}/file/take",
  keepMine: "/api/jobs/{job}/file/keep",
  readVersions: "/api/jobs/{job}/versions",
  nameVersion: "/api/jobs/{job}/versions",
  forgetVersion: "/api/jobs/{job}/versions/{name}",
  restoreVersion: "/api/jobs/{job}/versions/{name}/restore",
  readPlan: "/api/jobs/{job}/plan",
  cancelPlan: "/api/jobs/{job}/plan/cancel",
  planAgain: "/api/jobs/{job}/plan/again",
  readStrip: "/api/jobs/{job}/strips/{key}",
  readCut: "/api/jobs/{job}/cut",
  readMeasure: "/api/jobs/{job}/measure",
  readMaps: "/api/jobs/{job}/maps",
  readMap: "/api/jobs/{job}/maps/{study}/{key}",
  readJoints: "/api/jobs/{job}/joints",
  readWhatIf: "/api/jobs/{job}/what-if",
  readLive: "/api/jobs/{job}/live",
  readMesh: "/api/jobs/{job}/mesh",
  compare: "/api/jobs/{job}/compare",
  readPaper: "/api/jobs/{job}/papers/{name}",
  readArchive: "/api/jobs/{job}/archive",
  listen: "/api/jobs/{job}/events",
  previewOutline: "/api/jobs/{job}/imports/outline",
  takeOutline: "/api/jobs/{job}/imports/outline/take",
  siteKinds: "/api/jobs/{job}/imports/site",
  previewSite: "/api/jobs/{job}/imports/site",
  takeSite: "/api/jobs/{job}/imports/site/take",
} as const;
