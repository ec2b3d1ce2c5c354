import type { InputReading } from '@edge-margin/monitoring';
import type { DisplayKind } from '@edge-margin/units';
import { highestWithin, interpolated, stretches } from '../drawing/risk-profile.js';
import type { GaugeData } from '../drawing/gauge-scale.js';
import { chanceWords } from './chance-words.js';
import { quantityWords } from './quantity-words.js';
import type { StationContext } from './station-context.js';

export interface RadiusRow {
  readonly diameter: string;
  readonly what: string;
  readonly chance: string;
}

const steps = 8;

/** The gauge as a table: the highest chance within each eighth of what is wound and of what is to come, and the marks of the boundary. */
export function radiusRows(data: GaugeData, { system }: StationContext): readonly RadiusRow[] {
  const endM = data.setEndM ?? data.fullM;
  const words = (d: number) => quantityWords('diameter', d, system);
  const part = (
    points: GaugeData['wound'],
    fromM: number,
    toM: number,
    what: string,
  ): readonly RadiusRow[] =>
    toM <= fromM
      ? []
      : Array.from({ length: steps }, (_, at) => {
          const [lowM, highM] = [
            fromM + ((toM - fromM) * at) / steps,
            fromM + ((toM - fromM) * (at + 1)) / steps,
          ];
          return {
            diameter: `${words(lowM)} to ${words(highM)}`,
            what,
            chance: chanceWithin(points, lowM, highM, data),
          };
        });
  const marks = data.live && data.boundary !== null ? boundaryRows(data.boundary, words) : [];
  return [
    ...part(data.wound, data.coreM, data.nowM, 'wound'),
    ...(data.live ? part(data.ahead, data.nowM, endM, 'to come') : []),
    ...marks,
  ];
}

function chanceWithin(points: GaugeData['wound'], lowM: number, highM: number, data: GaugeData): string {
  const found = stretches(points, lowM, highM, data.fullM).flatMap((stretch) => [
    highestWithin(stretch, lowM, highM) ?? interpolated(stretch, lowM),
  ]);
  return found.length === 0 ? 'not known' : chanceWords(Math.max(...found));
}

function boundaryRows(
  { earliestM, expectedM, latestM }: NonNullable<GaugeData['boundary']>,
  words: (d: number) => string,
): readonly RadiusRow[] {
  const row = (name: string, d: number): RadiusRow => ({
    diameter: words(d),
    what: `limit reached, ${name}`,
    chance: '',
  });
  return [
    row('earliest', earliestM),
    row('expected', expectedM),
    ...(latestM === null ? [] : [row('latest', latestM)]),
  ];
}

export interface ReadingRow {
  readonly signal: string;
  readonly value: string;
  readonly at: string;
  readonly quality: InputReading['quality'];
}

const kinds: Readonly<Record<string, DisplayKind>> = {
  speed: 'speed',
  diameter: 'diameter',
  setEndDiameter: 'diameter',
  tension: 'tension',
  nipLoad: 'nipLoad',
  nipLoadSwing: 'ratio',
  nipAcceleration: 'acceleration',
  woundLength: 'length',
};

/** The readings that the assessment went by. */
export function readingRows(
  inputs: readonly InputReading[],
  { system, since }: StationContext,
): readonly ReadingRow[] {
  return inputs.map(({ signal, end, value, atMs, quality }) => {
    const kind = kinds[signal];
    const words =
      typeof value === 'string' || kind === undefined ? String(value) : quantityWords(kind, value, system);
    const name = signal.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
    return {
      signal: end === 'both' ? name : `${name}, ${end} side`,
      value: quality === 'missing' ? 'none' : words,
      at: quality === 'missing' ? '' : since(atMs),
      quality,
    };
  });
}
