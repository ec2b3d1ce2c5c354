import { nearestWord } from '@edge-margin/units';

/** What `{...}` may capture; `any` is passed over. */
const captureNames = ['winder', 'station', 'end', 'any'] as const;
export type CaptureName = (typeof captureNames)[number];

/** One level of a topic: fixed text, a capture of one level, or all levels that follow. */
export type TopicLevel =
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'capture'; readonly name: CaptureName }
  | { readonly kind: 'rest' };

/** A topic as the plant file writes it, taken apart; or everything that is wrong with it, as what is expected instead. */
export type TopicPattern =
  | { readonly ok: true; readonly levels: readonly TopicLevel[] }
  | { readonly ok: false; readonly faults: readonly string[] };

/**
 * Takes a source's topic apart. Levels are parted by `/` (MQTT 5.0, 4.7.1); `{winder}`, `{station}`, `{end}` and `{any}` each stand for one
 * whole level; `#` as the last level takes all that follows. The broker's `+` is not used: `{any}` says the same.
 */
export function parseTopic(topic: string): TopicPattern {
  const faults: string[] = [];
  const texts = topic.split('/');
  const levels = texts.map((text, index): TopicLevel => {
    if (text === '#' && index === texts.length - 1) return { kind: 'rest' };
    const capture = /^\{(.*)\}$/.exec(text)?.[1];
    if (capture !== undefined && isCaptureName(capture)) return { kind: 'capture', name: capture };
    const fault = capture === undefined ? faultOfText(text) : faultOfCapture(capture);
    if (fault !== undefined) faults.push(fault);
    return { kind: 'text', text };
  });
  if (texts[0] === '$share') faults.push('the topic itself, without $share and its group');
  for (const name of ['winder', 'station', 'end'] as const) {
    if (levels.filter((level) => level.kind === 'capture' && level.name === name).length > 1)
      faults.push(`{${name}} only once`);
  }
  return faults.length === 0 ? { ok: true, levels } : { ok: false, faults };
}

const isCaptureName = (name: string): name is CaptureName => captureNames.some((known) => known === name);

function faultOfCapture(name: string): string {
  const nearest = nearestWord(name, captureNames);
  return nearest === undefined
    ? `{winder}, {station}, {end} or {any} instead of {${name}}`
    : `{${nearest}} instead of {${name}}`;
}

function faultOfText(text: string): string | undefined {
  if (text.includes('#')) return '# only as the whole last level';
  if (text.includes('+')) return '{any} for one level instead of +';
  if (/[{}]/.test(text))
    return `a capture as a whole level between slashes, such as {any}, instead of ${text}`;
  if (text.includes('\0')) return 'no null character (MQTT 5.0, 4.7.3)';
  return undefined;
}

/**
 * Whether some topic fits both patterns.
 * @param allows whether a capture can take a text: `{end}` takes only `tending` and `drive`, `{winder}` only winders that exist.
 */
export function topicsOverlap(
  a: readonly TopicLevel[],
  b: readonly TopicLevel[],
  allows: (name: CaptureName, text: string) => boolean,
): boolean {
  const fits = (one: TopicLevel, other: TopicLevel): boolean => {
    if (one.kind === 'text' && other.kind === 'text') return one.text === other.text;
    if (one.kind === 'capture' && other.kind === 'text') return allows(one.name, other.text);
    if (one.kind === 'text' && other.kind === 'capture') return allows(other.name, one.text);
    return true;
  };
  // Wildcards do not take a first level that begins with $ (MQTT 5.0, 4.7.2).
  if (isReserved(a) !== isReserved(b)) return false;
  for (let i = 0; ; i += 1) {
    const [one, other] = [a[i], b[i]];
    // `a/#` fits `a` as well (MQTT 5.0, 4.7.1.2), so the rest fits even where the other topic has ended.
    if (one?.kind === 'rest' || other?.kind === 'rest') return true;
    if (one === undefined || other === undefined) return one === other;
    if (!fits(one, other)) return false;
  }
}

const isReserved = ([first]: readonly TopicLevel[]): boolean =>
  first?.kind === 'text' && first.text.startsWith('$');
