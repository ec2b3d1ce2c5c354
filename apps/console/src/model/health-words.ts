import type { HealthFigure, PartHealth, PartName, PartState } from '@edge-margin/monitoring';
import type { ClockWords } from './clock-words.js';

const stateWords = {
  ok: 'works',
  degraded: 'works, but somebody should look',
  down: 'does not work',
  off: 'not set up',
} as const satisfies Record<PartState, string>;

/** The state of a part in words: nothing that is right is called green. */
export function partStateWords(state: PartState): string {
  return stateWords[state];
}

/** The state of the whole service in one sentence. */
export function serviceSentence(state: Exclude<PartState, 'off'>): string {
  if (state === 'ok') return 'Every part works';
  return state === 'degraded'
    ? 'The service works, but somebody should look'
    : 'A part of the service does not work';
}

const parts = {
  broker: ['Broker', 'where readings come from'],
  journal: ['Journal', 'every message on disk before it is acknowledged'],
  store: ['Store', 'series and records on disk'],
  fold: ['Assessment', 'from a reading to what the pages say'],
  live: ['Live pages', 'who listens'],
  outbox: ['Outbox', 'what waits to be sent'],
  replica: ['Replica', 'the copy in InfluxDB, and the long memory'],
  disk: ['Disk', 'room for the data'],
  clock: ['Clock', 'of this machine'],
  process: ['Process', 'event loop and memory'],
} as const satisfies Record<PartName, readonly [string, string]>;

/** A part's name and what it is for. */
export function partWords(part: PartName): { readonly name: string; readonly purpose: string } {
  const [name, purpose] = parts[part];
  return { name, purpose };
}

/** Which parts are in trouble, the gravest first: `Disk: does not work. Replica: works, but somebody should look.` */
export function troubleWords(all: readonly PartHealth[]): string {
  return (['down', 'degraded'] as const)
    .flatMap((state) => {
      const names = all.filter((part) => part.state === state).map(({ part }) => partWords(part).name);
      return names.length === 0 ? [] : [`${names.join(', ')}: ${partStateWords(state)}.`];
    })
    .join(' ');
}

/** A figure as people read it: `120 ms`, `3.2 GB`, `98 %`, `14:22`; `not known` where it is not. */
export function figureWords({ unit, value }: HealthFigure, since: ClockWords): string {
  if (value === null) return 'not known';
  if (typeof value === 'string') return value;
  if (!Number.isFinite(value)) return 'not known';
  switch (unit) {
    case 's':
      return durationWords(value);
    case 'By':
      return bytesWords(value);
    case '1/s':
      return `${shortNumber(value)} a second`;
    case 'ratio':
      return `${shortNumber(100 * value)} %`;
    case 'instant':
      return since(value);
    case 'count':
    case null:
      return shortNumber(value);
  }
}

/** `3 ms`, `1.2 s`, `4 min`, `6.5 h`, `3 days`: two figures are enough to judge by. */
export function durationWords(durationS: number): string {
  const size = Math.abs(durationS);
  if (size === 0) return '0 s';
  if (size < 0.9995e-3) return `${shortNumber(durationS * 1e6)} µs`;
  if (size < 0.9995) return `${shortNumber(durationS * 1e3)} ms`;
  if (size < 90) return `${shortNumber(durationS)} s`;
  if (size < 90 * 60) return `${shortNumber(durationS / 60)} min`;
  if (size < 48 * 3600) return `${shortNumber(durationS / 3600)} h`;
  return `${shortNumber(durationS / 86_400)} days`;
}

const byteUnits = ['bytes', 'kB', 'MB', 'GB', 'TB'] as const;

/** Decimal multiples, as disks are sold (ISO 80000-1). */
export function bytesWords(bytes: number): string {
  const step = bytes < 1000 ? 0 : Math.min(byteUnits.length - 1, Math.floor(Math.log10(bytes) / 3));
  return `${shortNumber(bytes / 1000 ** step)} ${byteUnits[step] ?? 'bytes'}`;
}

/** Whole from 10 on, with thin groups of three from 10 000 on; else two figures. */
export function shortNumber(value: number): string {
  const size = Math.abs(value);
  const rounded = size >= 10 ? Math.round(value) : Number(value.toPrecision(2));
  const plain = String(rounded === 0 ? 0 : rounded).replace('-', '−');
  return size < 10_000 ? plain : plain.replace(/\B(?=(\d{3})+$)/g, '\u2009');
}
