/**
 * A chance in words: `4 %`, and at the ends `< 1 %` and `> 95 %`, because no forecast is that sure. Values outside 0 to 1 are told by the nearer
 * end, a value that is no number as `not known`.
 */
export function chanceWords(chance: number): string {
  if (Number.isNaN(chance)) return 'not known';
  if (chance < 0.01) return '< 1 %';
  if (chance > 0.95) return '> 95 %';
  return `${Math.round(chance * 100)} %`;
}

/** The same, spoken: `4 percent`, `less than 1 percent`, `more than 95 percent`. */
export function spokenChance(chance: number): string {
  return chanceWords(chance)
    .replace('< ', 'less than ')
    .replace('> ', 'more than ')
    .replace(' %', ' percent');
}

/** What the number is the chance of: an edge is called rough only for a grade whose rated rolls have confirmed it. */
export function chanceTitle(meaning: 'rough-edge' | 'wraps-free-to-move'): string {
  return meaning === 'rough-edge' ? 'chance of a rough edge' : 'chance that wraps are free to move';
}
