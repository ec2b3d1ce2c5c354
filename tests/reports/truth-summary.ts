import type { Crossing, FinishedRoll, PeopleRecord, StateTruth } from '@edge-margin/simulator';
import type { Watched } from './watch-scenario.js';

const ENDS = ['tending', 'drive'] as const;

/** The first roll (or rolls side by side) of one station, as it really came about. */
export interface StationTruth {
  /** winder/station. */
  readonly key: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** One, or several side by side, tending side first. */
  readonly rolls: readonly FinishedRoll[];
  readonly states: readonly StateTruth[];
  readonly boundary: Crossing | null;
  /** Begin of the first stay of some seconds in which the nip lost contact again and again. */
  readonly contactLost: Crossing | null;
  /** A loss that was over at once, before any such stay; null: none. */
  readonly brieflyLost: Crossing | null;
  readonly mostFreeWraps: number;
  readonly worstInertiaRatio: number;
  readonly worstSwingRatio: number;
  readonly isRough: boolean;
  readonly people: readonly PeopleRecord[];
}

/** One summary per station that finished a roll. */
export function stationTruths({ rolls, states, people }: Watched): readonly StationTruth[] {
  const keys = [...new Set(rolls.map(({ roll }) => `${roll.winder}/${roll.station}`))];
  return keys.map((key) => {
    const own = rolls.filter(({ roll }) => `${roll.winder}/${roll.station}` === key);
    const number = own[0]?.roll.roll ?? 1;
    const first = own.filter(({ roll }) => roll.roll === number);
    const [fromMs, toMs] = [first[0]?.roll.startedAtMs ?? 0, first[0]?.roll.atMs ?? 0];
    const during = states.filter(
      (state) => `${state.winder}/${state.station}` === key && state.atMs >= fromMs && state.atMs <= toMs,
    );
    const most = (value: (state: StateTruth) => number): number => Math.max(0, ...during.map(value));
    return {
      key,
      fromMs,
      toMs,
      rolls: first,
      states: during,
      boundary: first[0]?.roll.boundary.lasting ?? null,
      ...contactLosses(during),
      mostFreeWraps: most(({ freeWraps }) => freeWraps),
      worstInertiaRatio: most(({ inertiaRatio }) => worst(inertiaRatio)),
      worstSwingRatio: most(({ swingRatio }) => worst(swingRatio)),
      isRough: first.some(({ roll }) => roll.rough),
      people: people.filter((one) => `${one.winder}/${one.station}` === key && one.roll === number),
    };
  });
}

const STAY_RECORDS = 4; // one record a second

function contactLosses(states: readonly StateTruth[]): Pick<StationTruth, 'contactLost' | 'brieflyLost'> {
  const isLost = states.map((state) => worst(state.contactLostRatio) > 0);
  const stays = isLost.findIndex((_, i) => {
    const next = isLost.slice(i, i + STAY_RECORDS);
    return next.length === STAY_RECORDS && next.every(Boolean);
  });
  const first = isLost.indexOf(true);
  const at = (i: number): Crossing | null => states[i] ?? null;
  return {
    contactLost: at(stays),
    brieflyLost: first >= 0 && (stays < 0 || first < stays) ? at(first) : null,
  };
}

/** Whether the nip had let go by the time the wraps got free. */
export function isFreedByNip({ boundary, rolls }: StationTruth): boolean {
  const first = rolls[0]?.roll.contactLost.first;
  return boundary !== null && first !== null && first !== undefined && first.atMs <= boundary.atMs;
}

function worst({ tending, drive }: { readonly tending: number; readonly drive: number }): number {
  return Math.max(tending, drive);
}

/** The truth in lines for people. */
export function truthLines(truth: StationTruth): readonly string[] {
  const [roll] = truth.rolls;
  if (roll === undefined) return [];
  return [
    `${millimetres(roll.roll.diameterM)} mm, ${roll.roll.wraps} wraps, ${((truth.toMs - truth.fromMs) / 1000).toFixed(0)} s`,
    `at most ${truth.mostFreeWraps} wraps free at once; ${
      truth.boundary === null
        ? 'never beyond the boundary for long'
        : `beyond the boundary from ${millimetres(truth.boundary.diameterM)} mm on`
    }`,
    truth.contactLost === null
      ? `nip ${truth.brieflyLost === null ? 'always' : 'nearly always'} in contact; inertia up to ${percent(truth.worstInertiaRatio)} of the closing force`
      : `nip lost contact again and again from ${millimetres(truth.contactLost.diameterM)} mm on; ${roll.roll.contactLost.totalS.toFixed(1)} s in all`,
    ...(truth.brieflyLost === null
      ? []
      : [`nip lost contact for a moment at ${millimetres(truth.brieflyLost.diameterM)} mm`]),
    ...truth.rolls.map((one) => edgeLine(one, truth.rolls.length > 1)),
    ...causeLines(truth.rolls),
    ...peopleLines(truth.people),
  ];
}

function edgeLine({ roll, bands }: FinishedRoll, isOneOfSeveral: boolean): string {
  const parts = ENDS.map((end) => {
    const worstM = Math.max(0, ...bands.map((band) => band.edgeRmsM[end]));
    return `${end} ${(worstM * 1000).toFixed(3)} mm`;
  });
  const rough = roll.roughBands;
  const where =
    rough.length === 0 ? 'smooth everywhere' : `rough in ${rough.length} of ${bands.length} bands`;
  const name = isOneOfSeveral ? `strip ${(roll.strip ?? 0) + 1}: ` : '';
  return `${name}roughest band: ${parts.join(', ')}; ${where}`;
}

function causeLines(rolls: readonly FinishedRoll[]): readonly string[] {
  const rings = new Map<string, Set<string>>();
  for (const { roll } of rolls)
    for (const { cause, diameterM } of roll.rings ?? [])
      rings.set(cause, (rings.get(cause) ?? new Set()).add(millimetres(diameterM)));
  const events = (rolls[0]?.roll.events ?? []).map(
    ({ what, diameterM }) => `${what} at ${millimetres(diameterM)} mm`,
  );
  return [
    ...[...rings].map(([cause, at]) => `${cause}: wraps line up at ${[...at].join(', ')} mm`),
    ...(events.length === 0 ? [] : [events.join(', ')]),
  ];
}

function peopleLines(people: readonly PeopleRecord[]): readonly string[] {
  const ratings = people.flatMap((one) =>
    one.kind === 'edge-rating'
      ? [`${one.strip === undefined ? '' : `strip ${one.strip + 1} `}${one.end}: ${one.rating}`]
      : [],
  );
  return [ratings.length === 0 ? 'nobody graded it' : `graded ${ratings.join(', ')}`];
}

export function millimetres(valueM: number): string {
  return (valueM * 1000).toFixed(0);
}

export function percent(ratio: number): string {
  return `${(ratio * 100).toFixed(0)} %`;
}
