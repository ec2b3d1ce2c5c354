/** What really happened, as lines of `truth.jsonl`. Instants in true time, epoch ms. */
export type TruthRecord = RunTruth | StateTruth | BandTruth | EdgesTruth | RollTruth;

interface At {
  readonly atMs: number;
  readonly winder: string;
  readonly station: string;
}

/** First line: what was drawn for this run and is hidden from the service. */
export interface RunTruth {
  readonly kind: 'run';
  readonly atMs: number;
  readonly scenario: string;
  readonly seed: number;
  readonly filmBias: Readonly<Record<string, number>>;
  /** By station (winder/station): every disturbance that the scenario gives it; left out where it is one of a plain station. */
  readonly causes?: Readonly<Record<string, readonly Cause[]>>;
}

/** Something that moves edges or roller, and what is known about its period. */
export interface Cause {
  /** E.g. "knife 3", "idler", "unwinding roll", "shaft play", "self-excited". */
  readonly name: string;
  /** Web between two repetitions, m; left out: none, or it changes as the roll grows. */
  readonly periodM?: number;
  readonly frequencyHz?: number;
  readonly amplitudeM?: number;
}

/** The state of a station at one moment; while standing only where the roll is. */
export interface StateTruth extends At {
  readonly kind: 'state';
  readonly roll: number;
  readonly phase: string;
  /** Surface of the outermost whole wrap. */
  readonly diameterM: number;
  /** Since the core; the whole part counts the wraps. */
  readonly turns: number;
  readonly lengthM: number;
  readonly speedMPerS: number;
  readonly tensionNPerM: number;
  readonly nipLoadNPerM: EndValues;
  /** Film under the wrap being laid, at the pressure in the wrap. */
  readonly filmM: number;
  /** Films as thickness at ambient pressure: without a nip, and as the touching nip lets in. */
  readonly filmWithoutNipM: number;
  readonly filmWithNipM: number;
  readonly held: boolean;
  readonly freeWraps: number;
  /** Worst since the last record: share of time without contact; peak inertia force over closing force; load swing. */
  readonly contactLostRatio: EndValues;
  readonly inertiaRatio: EndValues;
  readonly swingRatio: EndValues;
  readonly unwindDiameterM?: number;
  /** Deepest of the prints that the nip has left in the roll. */
  readonly polygonM?: EndValues;
}

export interface EndValues {
  readonly tending: number;
  readonly drive: number;
}

/** The finished edges of one band of radius: rms of the step from wrap to wrap. */
export interface BandTruth extends At {
  readonly kind: 'band';
  readonly roll: number;
  /** Which of several rolls side by side, 0 at the tending side; left out: the station winds one. */
  readonly strip?: number;
  readonly innerRadiusM: number;
  readonly outerRadiusM: number;
  readonly wraps: number;
  readonly edgeRmsM: EndValues;
  /** Wraps that were free to move at some time, and wraps of which some part was laid without nip contact. */
  readonly freeWraps: number;
  readonly liftedWraps: number;
  readonly rough: boolean;
}

/** Where both edges of every n-th wrap were finally laid, innermost first; one record per full band. */
export interface EdgesTruth extends At {
  readonly kind: 'edges';
  readonly roll: number;
  readonly strip?: number;
  /** Number of the first wrap told (the first on the core is 1), and every how many follow. */
  readonly fromWrap: number;
  readonly everyWraps: number;
  readonly radiusM: readonly number[];
  /** Sideways places of the edges, drive side positive, less the nominal place of each. */
  readonly tendingM: readonly number[];
  readonly driveM: readonly number[];
}

/** One roll as a whole, when it is finished. */
export interface RollTruth extends At {
  readonly kind: 'roll';
  readonly roll: number;
  readonly strip?: number;
  readonly startedAtMs: number;
  readonly coreDiameterM: number;
  readonly diameterM: number;
  readonly wraps: number;
  readonly lengthM: number;
  /** First moment with more free wraps than allowed, and start of the first stay there that lasted; null: never. */
  readonly boundary: { readonly first: Crossing | null; readonly lasting: Crossing | null };
  readonly contactLost: { readonly first: Crossing | null; readonly totalS: number };
  readonly rough: boolean;
  readonly roughBands: readonly { readonly innerRadiusM: number; readonly outerRadiusM: number }[];
  /** Rms step from wrap to wrap over the whole roll. */
  readonly edgeRmsM?: EndValues;
  /** Diameters where a periodic cause came round in step with the roll, so that its wraps lie in line. */
  readonly rings?: readonly Ring[];
  readonly events?: readonly RollEvent[];
  /** Diameter next day, when the air has bled off. */
  readonly remeasuredDiameterM?: number;
  /** What an encoder on the core counts. */
  readonly coreTurns?: number;
  /** Radius of each caliper lane less the mean one, m, from the tending side. */
  readonly lanes?: readonly { readonly fromM: number; readonly toM: number; readonly heightM: number }[];
}

export interface Ring {
  readonly cause: string;
  /** Repetitions per turn of the roll: 1, 2, 3...; 1/2, 1/3... where it repeats every second, third turn. */
  readonly order: number;
  readonly diameterM: number;
}

export interface RollEvent {
  readonly what: 'splice' | 'stop' | 'web-break' | 'grade-change';
  readonly atMs: number;
  readonly diameterM: number;
}

export interface Crossing {
  readonly atMs: number;
  readonly diameterM: number;
}
