/** What really happened, as lines of `truth.jsonl`. Instants in true time, epoch ms. */
export type TruthRecord = RunTruth | StateTruth | BandTruth | RollTruth;

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
}

export interface EndValues {
  readonly tending: number;
  readonly drive: number;
}

/** The finished edges of one band of radius: rms of the step from wrap to wrap. */
export interface BandTruth extends At {
  readonly kind: 'band';
  readonly roll: number;
  readonly innerRadiusM: number;
  readonly outerRadiusM: number;
  readonly wraps: number;
  readonly edgeRmsM: EndValues;
  /** Wraps that were free to move at some time, and wraps of which some part was laid without nip contact. */
  readonly freeWraps: number;
  readonly liftedWraps: number;
  readonly rough: boolean;
}

/** One roll as a whole, when it is finished. */
export interface RollTruth extends At {
  readonly kind: 'roll';
  readonly roll: number;
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
}

export interface Crossing {
  readonly atMs: number;
  readonly diameterM: number;
}
