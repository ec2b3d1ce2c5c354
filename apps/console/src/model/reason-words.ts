import { type DisplayKind, type DisplaySystem, display, type Reason } from '@edge-margin/units';

/**
 * A reason's sentence as the reader's screen says it. The service writes instants in UTC and figures of the air film in metric units, and gives
 * both beside the sentence as parameters: `since 02:31:05 UTC` becomes the reader's own time, and `1.37 µm` becomes `54 µin` where the plant
 * prefers US units, from the parameter and not from the rounded figure. A figure that no parameter stands behind stays as it is.
 */
export function reasonWords(
  because: Reason,
  since: (atMs: number) => string,
  system: DisplaySystem = 'metric',
): string {
  const text = withOwnTime(because, since);
  return system === 'metric' ? text : withUnitsOf(system, text, because.params);
}

function withOwnTime(because: Reason, since: (atMs: number) => string): string {
  const sinceMs = because.params['sinceMs'];
  if (typeof sinceMs !== 'number') return because.text;
  const words = since(sinceMs);
  return words === '' ? because.text : because.text.replace(/\d{2}:\d{2}:\d{2} UTC/, words);
}

/** Each metric unit of a text belongs to one kind of quantity. */
const kindByUnit = new Map<string, DisplayKind>(
  (['diameter', 'length', 'speed', 'nipLoad', 'tension', 'film', 'acceleration'] as const).map((kind) => [
    display(kind, 0, 'metric').unit,
    kind,
  ]),
);
const figurePattern = /(-?\d+(?:\.\d+)?) (m\/min|m\/s²|kN\/m|N\/m|µm|mm|m)(?![\p{L}\p{N}/])/gu;

function withUnitsOf(system: DisplaySystem, text: string, params: Reason['params']): string {
  const values = Object.values(params).filter((value) => typeof value === 'number' && Number.isFinite(value));
  return text.replace(figurePattern, (whole, figure: string, unit: string) => {
    const kind = kindByUnit.get(unit);
    if (kind === undefined) return whole;
    const value = values.find((candidate) => display(kind, Number(candidate), 'metric').number === figure);
    if (value === undefined) return whole;
    const shown = display(kind, Number(value), system);
    return `${shown.number} ${shown.unit}`;
  });
}
