/** The documents as the browser sees them. A test holds these names against the JSON Schema of the game and the squad. */

/** A spot by name, or metres from the point under the ring. */
export type Place = string | [number, number];
export type Point = [number, number];

export interface Problem {
  place: string;
  what: string;
  mend: string;
}

export interface Sides {
  offence: number;
  defence: number;
  neutral: number;
  coach: boolean;
}

export interface Placement {
  figure: string;
  at: Place;
  vary_m: number;
  guards: string | null;
}

export interface Variant {
  name: string;
  weight: number;
  mirror: boolean;
  placements: Placement[];
}

export interface Start {
  placements: Placement[];
  ball: string;
  variants: Variant[];
}

export interface Entry {
  kind: string;
  passes: number;
  to: string | null;
  say: string;
}

export interface Constraint {
  rule: string;
  limit: number | null;
  cost: string | null;
  figure: string | null;
}

export interface PointRule {
  rule: string;
  points: number;
  to: "offence" | "defence" | null;
}

export interface Ending {
  make: string;
  offensive_rebound: string;
  defensive_rebound: string;
  foul: string;
  defence_must: string;
  reset_s: number;
}

export interface RotaRule {
  rule: string;
  teams: string;
}

export interface Finish {
  minutes: number | null;
  points: number | null;
}

export interface Step {
  say: string;
  change: Record<string, unknown>;
}

export interface Form {
  players: number;
  baskets: number;
  say: string;
  change: Record<string, unknown>;
}

export interface Game {
  format: string;
  name: string;
  purpose: string;
  court: string;
  sides: Sides;
  start: Start;
  entry: Entry;
  live: string;
  help: string;
  rotation?: boolean;
  actions?: string[];
  constraints: Constraint[];
  points: PointRule[];
  ending: Ending;
  rota: RotaRule;
  finish: Finish;
  cues: string[];
  question: string;
  easier: Step[];
  harder: Step[];
  forms: Form[];
  cautions: string[];
}

export interface Player {
  name: string;
  number: number | null;
  height_cm: number | null;
  level: string | null;
  here: boolean;
  grade: number | null;
  splits_s: Record<string, number>;
  shooting: Record<string, unknown>;
}

export interface Squad {
  format: string;
  name: string;
  level: string;
  players: Player[];
}

export interface CourtLines {
  name: string;
  side_x_m: number;
  end_line_y_m: number;
  far_y_m: number;
  spots: Record<string, Point>;
}

export interface Limit {
  unit: string;
  least: number;
  most: number;
  usual: number;
  whole: boolean;
}

export interface ConstraintKind {
  key: string;
  text: string;
  side: string;
  limit: Limit | null;
  group: string;
  usual_cost: string;
  played: boolean;
  /** whether the trial also plays it where it binds one figure */
  personal: boolean;
  /** whether it must name a figure */
  names: boolean;
  /** whether it binds everyone but the figures it names */
  spares: boolean;
  watch: string;
  why: string;
}

export interface PointKind {
  key: string;
  text: string;
  side: "offence" | "defence";
  usual: number;
  played: boolean;
  by_court: boolean;
  group: string;
  means: string;
  caution: string;
  not_for: string[];
}

export interface Starter {
  key: string;
  name: string;
  purpose: string;
  offence: number;
  defence: number;
  simulated: boolean;
}

/** Everything the forms offer; the browser keeps no list of its own. */
export interface Vocabulary {
  courts: Record<string, CourtLines>;
  constraints: ConstraintKind[];
  points: PointKind[];
  costs: string[];
  live: string[];
  help: string[];
  entry: string[];
  rota: string[];
  teams: string[];
  levels: string[];
  ending: Record<string, string[]>;
  starters: Starter[];
}

/** Nothing stands where there is too little to say. */
export interface Estimate {
  mean: number | null;
  low: number | null;
  high: number | null;
  unit: string;
}

export interface Measure extends Estimate {
  key: string;
  text: string;
}

/** Both ends belong to the bin. */
export interface Bin {
  from_points: number;
  to_points: number;
  share_of_runs: number;
}

export interface Score extends Estimate {
  team: string;
  bins: Bin[];
  quantiles: { share_of_runs: number; up_to_points: number }[];
}

/** The last bin goes on beyond its end. */
export interface PossessionLengths {
  bins: { from_s: number; to_s: number; share_of_possessions: number }[];
  quantiles: { share_of_possessions: number; up_to_s: number }[];
}

export interface Ends {
  low: number;
  high: number;
  unit: string;
}

/** By measure: the range by luck alone, and by what is not known alone. */
export type Ranges = Record<string, { sampling: Ends; parameters: Ends }>;

export type Verdict = "up" | "down" | "no difference" | "cannot tell";

/** The second trial less the first; no ends where runs are too few. */
export interface Difference {
  key: string;
  text: string;
  unit: string;
  first: number;
  second: number;
  change: number;
  low: number | null;
  high: number | null;
  least: number;
  verdict: Verdict;
  share_of_sets_agreeing: number | null;
  /** whether the trial is known not to tell this */
  doubted: boolean;
}

export interface Comparison {
  first: { game: string; game_hash: string };
  second: { game: string; game_hash: string };
  runs: number;
  differences: Difference[];
  left_out: string[];
  sentences: string[];
  how: string;
}

export interface TurnsOf {
  player: string;
  offence: Estimate;
  defence: Estimate;
}

export interface TrialResult {
  format: string;
  game: string;
  game_hash: string;
  squad: string;
  squad_hash: string;
  minutes: number;
  runs: number;
  seed: number;
  model: { version: string; calibrated: boolean; note: string };
  measures: Measure[];
  range: string;
  scores: Score[];
  possession_lengths: PossessionLengths;
  ranges: Ranges;
  turns: TurnsOf[];
  sentences: string[];
  comparison?: Comparison;
  played: string[];
  left_to_the_eye: string[];
}

/** Names in the order of the figures they stand at. */
export interface WishAsked {
  kind: string;
  players: string[];
  number: number;
  figures: string[];
}

/** A rota as it is asked for. */
export interface RotaAsked {
  names: string[];
  grades: (number | null)[];
  offence: number;
  defence: number;
  neutral: number;
  baskets: number;
  turns: number;
  rule: string;
  teams: string;
  wishes: WishAsked[];
  played: Turn[];
  surprise: boolean;
  seed: number;
}

/** What each player gets. */
export interface RotaPlayer {
  name: string;
  offence_turns: number;
  defence_turns: number;
  neutral_turns: number;
  off_turns: number;
  total_turns: number;
  longest_sit_turns: number;
  turns_by_figure: Record<string, number>;
}

/** A rota that was found, and what is said of it. */
export interface RotaAnswer {
  asked: RotaAsked;
  rota: {
    names: string[];
    turns: Turn[];
    teams: string[][];
    baskets: number;
    notes: string[];
    players: RotaPlayer[];
    team_mate_turns: number[][];
    opponent_turns: number[][];
  };
  sentence: string;
  judgement: string;
  cost?: string;
  changed?: string;
  expected?: {
    turns: Record<string, number>;
    low: Record<string, number>;
    high: Record<string, number>;
    hardly_play: boolean;
    sentence: string;
  };
}

export interface Turn {
  turn: number;
  basket?: number;
  offence: string[];
  defence: string[];
  neutral: string[];
  off: string[];
}

export interface Rota {
  names: string[];
  turns: Turn[];
  seed: number;
  sentence: string;
}

export interface Revision {
  revision: number;
  hash: string;
  name: string;
  saved_at: string;
}

export interface GameRow {
  id: string;
  name: string;
  sides: string;
  purpose: string;
  court: string;
  revision: number;
  changed_at: string;
}

/** A document with the revision it was read at. */
export interface Kept<T> {
  document: T;
  revision: number;
  hash: string;
}

export interface MomentFigure {
  figure: string;
  at: Place;
  moving_m_per_s: Point;
  guards: string | null;
}

export interface MomentDocument {
  format: "courtwright.moment/1";
  name: string;
  cue: string;
  court: string;
  figures: MomentFigure[];
  ball: string;
  held_s: number;
}

export interface TimelineEvent {
  t_s: number;
  what: string;
  figure: string;
  text: string;
  at_m: Point;
}

/** What the scrubber under the board plays. */
export interface Timeline {
  assumes: string;
  times_s: number[];
  places_m: Record<string, Point[]>;
  ball_m: Point[];
  gap: { shooter: string; defender: string; gap_m: number } | null;
  events: TimelineEvent[];
}

/** One thing a player could do: net points of this game as he sees it, and how often he does it. */
export interface Option {
  key: string;
  to: string | null;
  text: string;
  worth_points: number;
  share_of_choices: number;
  chosen: boolean;
}

export interface Decision {
  t_s: number;
  figure: string;
  options: Option[];
}

/** One possession of a trial again; run and possession are counted from 1. */
export interface Replay extends Timeline {
  game_hash: string;
  run: number;
  possession: number;
  players: Record<string, string>;
  sentence: string;
  length_s: number;
  offence_points: number;
  defence_points: number;
  decisions: Decision[];
}

/** Something of the game that can be swept. */
export interface Setting {
  key: string;
  text: string;
  unit: string;
  now: number | string | null;
  usual: (number | string)[];
}

export interface SettingsOf {
  settings: Setting[];
  measures: { key: string; text: string; unit: string }[];
  wanted: { key: string; text: string }[];
}

export interface SweepPoint extends Estimate {
  value: number | string;
  change?: number;
  change_low?: number | null;
  change_high?: number | null;
  /** nothing where the value is the present one, or too little can be said */
  verdict: Verdict | null;
}

export interface Sweep {
  game_hash: string;
  setting: { key: string; text: string; unit: string };
  now: number | string | null;
  measure: { key: string; text: string; unit: string };
  minutes: number;
  runs: number;
  points: SweepPoint[];
  sentences: string[];
  how: string;
}

export interface PassTo {
  to: string;
  gap: Estimate;
  chance: Estimate;
  risk: Estimate;
  worth: Estimate;
}

export interface HelpOf {
  helper: string;
  man: string;
  rows: {
    leaves: string;
    in_time: "in time" | "even" | "late";
    left_gap: Estimate;
    worth: Estimate;
    worth_rotated: Estimate;
    level: boolean;
    level_rotated: boolean;
  }[];
  never: { worth: Estimate; level: boolean };
}

export interface SwitchPoint {
  open_threes_made: number;
  early_cost: Estimate;
}

export interface SpaceMap {
  columns: number;
  rows: number;
  cell_m: number;
  left_m: number;
  end_line_m: number;
  figures: string[];
  owner: number[];
}

export interface ReadingResult {
  unit: string;
  range: string;
  parameter_sets: number;
  level: string;
  holder: string;
  shot: { gap: Estimate; chance: Estimate; worth: Estimate };
  passes: PassTo[];
  drive: { beat: Estimate; release: Estimate; contained_word: "low" | "even" | "high" };
  help: HelpOf[];
  map: SpaceMap;
  spacing: { pairs: { between: [string, string]; distance_m: number }[]; hull_m2: number };
  sentences: { shot: string; passes: string; drive: string; never: string; help: Record<string, string> };
}

/** Where a switch curve begins to cost; an end is nothing where it lies off the curve. */
export interface Crossing {
  low: number | null;
  middle: number | null;
  high: number | null;
  sets_dear_at_once: number;
  sets_free_always: number;
}

export interface ReadMore {
  pauses: { pause_s: number; loss: Estimate }[];
  switch: Record<string, SwitchPoint[]>;
  crossing: Record<string, Crossing | null>;
  break_even: Estimate | null;
  attack_first: Estimate;
  sentences: { pause: string; early: Record<string, string> };
}

export interface MomentRow {
  id: string;
  name: string;
  cue: string;
  revision: number;
}

/* ---- a run on the floor ---- */

/** What a kind of fact carries; the server has checked it. */
export type Detail = Record<string, any>;

export interface Fact {
  event_id: string;
  device: string;
  sequence: number;
  /** hybrid time, “milliseconds.counter” */
  time: string;
  run_id: string;
  possession: number;
  turn: number;
  game_id: string;
  game_hash: string;
  kind: string;
  detail: Detail;
}

/** Points of each counted event, by side. */
export interface Worths {
  offence: Record<string, number>;
  defence: Record<string, number>;
}

export interface Register {
  points: Record<string, { side: "offence" | "defence"; counts: string[]; by_court: boolean; text: string }>;
  constraints: Record<string, { side: "offence" | "defence"; cost: string; text: string }>;
  inside_value: number;
  outside_value: number;
}

export interface TurnRow {
  figures: Record<string, string>;
  off: string[];
  offence_team: number;
  defence_team: number;
}

export interface Opening {
  format: string;
  run: string;
  game_id: string;
  game_hash: string;
  game: any;
  basket: string;
  players: string[];
  teams: string[][];
  turns: TurnRow[];
  starts: number[];
  minutes: number | null;
  to_points: number | null;
  register: Register;
  forms: { say: string; game: any }[];
  tags: { tag: string; opportunity: string }[];
  made_at: string;
  seed: number;
}

export interface ClockState {
  running: boolean;
  played_ms: number;
  server_ms: number;
  ended: boolean;
}

export interface CallTold {
  kind: string;
  detail: Detail;
  event: string;
  events: string[];
  called_by: string[];
  segment: number;
  counted: boolean;
  disputes: { event: string; detail: string; said: any }[];
}

export interface PossessionTold extends TurnRow {
  number: number;
  inserted: number;
  turn: number;
  start: number;
  result: string;
  again: boolean;
  stop: boolean;
  void: boolean;
  replays: number;
  ended_in: number;
  points: [number, number];
  calls: CallTold[];
  unsettled: { event: string; kind: string; why: string }[];
  freezes: any[];
}

export interface RunState extends TurnRow {
  run: string;
  possession: number;
  turn: number;
  start: number;
  next: TurnRow & { turn: number; start: number };
  freeze: Record<string, any> | null;
  over: string;
  clock: ClockState;
  game: any;
  said: string;
  attendance: Record<string, string>;
  watching: string[];
  claims: { event: string; possession: number; said: number[]; logged: number[]; agrees: boolean }[];
  score: number[];
  player_points: Record<string, number>;
  turns: Record<string, { offence: number; defence: number }>;
  players: Record<string, Record<string, number>>;
  counts: Record<string, number>;
  events: Record<string, number>;
  tags: Record<string, { watched_possessions: number; players: Record<string, { did: number; opportunities: number }> }>;
  possessions: PossessionTold[];
}

export interface DeviceRow {
  id: string;
  name: string;
  role: string;
  made_at: string;
  seen_at: string | null;
  revoked_at: string | null;
  welcome: boolean;
  me: boolean;
}

export interface OpenCode {
  role: string;
  expires_at: string;
}

/** `link` and `qr` are missing where the computer's address is not known. */
export interface CodeMade extends OpenCode {
  code: string;
  lasts_s: number;
  link: string | null;
  qr: string | null;
}
