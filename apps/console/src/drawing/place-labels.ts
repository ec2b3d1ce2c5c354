/** A label that wants to stand at `x` on its line. */
export interface Label<Key extends string = string> {
  readonly key: Key;
  readonly text: string;
  readonly x: number;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly fontSize: number;
  readonly bold: boolean;
}

export interface PlacedLabel<Key extends string = string> extends Label<Key> {
  readonly left: number;
  readonly right: number;
}

/** Average advance of a character, in em, of the faces named in the style sheet (measured on figures and lower case; bold is wider). */
const advance = { regular: 0.53, bold: 0.58 } as const;

function labelWidth({ text, fontSize, bold }: Pick<Label, 'text' | 'fontSize' | 'bold'>): number {
  return text.length * fontSize * (bold ? advance.bold : advance.regular);
}

/**
 * Places labels on one line so that none overlaps another. Labels come in order of importance: a later one that finds no room is shifted inwards
 * from the margins or turned to the other side of its mark, else it is dropped.
 */
export function placeLabels<Key extends string>(
  labels: readonly Label<Key>[],
  from: number,
  to: number,
  space = 10,
): readonly PlacedLabel<Key>[] {
  const placed: PlacedLabel<Key>[] = [];
  for (const label of labels) {
    const free = candidates(label)
      .map((candidate) => within(candidate, from, to))
      .find(
        (candidate) =>
          candidate !== null &&
          placed.every(
            (other) => candidate.left >= other.right + space || candidate.right <= other.left - space,
          ),
      );
    if (free !== undefined && free !== null) placed.push(free);
  }
  return placed;
}

/** As asked, then on the other side of its mark. */
function candidates<Key extends string>(label: Label<Key>): readonly Label<Key>[] {
  if (label.anchor === 'middle') return [label];
  return [label, { ...label, anchor: label.anchor === 'end' ? 'start' : 'end' }];
}

/** Shifted so that it lies within the margins; null where it is wider than these, or has to be shifted away from its mark. */
function within<Key extends string>(label: Label<Key>, from: number, to: number): PlacedLabel<Key> | null {
  const width = labelWidth(label);
  const wanted =
    label.anchor === 'start' ? label.x : label.anchor === 'end' ? label.x - width : label.x - width / 2;
  const left = Math.min(Math.max(wanted, from), to - width);
  if (left < from) return null;
  if (label.anchor !== 'middle' && Math.abs(left - wanted) > label.fontSize) return null;
  return { ...label, anchor: 'start', x: left, left, right: left + width };
}
