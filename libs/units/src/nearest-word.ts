/** Longest distance at which two words still count as one mistyped. */
const farthest = ({ length }: string) => Math.min(length - 1, length <= 4 ? 1 : length <= 8 ? 2 : 3);

/**
 * The candidate that `word` was most likely meant to be: same letters in another case first, else the one with the fewest changed, added,
 * left out or swapped letters (optimal string alignment distance; F. J. Damerau 1964, Commun. ACM 7, 171, for the four kinds of slip).
 * @returns `undefined` where none is near: more than 1 slip in a word of up to 4 letters, 2 up to 8, 3 in a longer one, or no letter in common.
 */
export function nearestWord(word: string, candidates: Iterable<string>): string | undefined {
  let best: string | undefined;
  let bestDistance = farthest(word) + 0.5;
  for (const candidate of candidates) {
    if (candidate.toLowerCase() === word.toLowerCase()) return candidate;
    if (Math.abs(candidate.length - word.length) >= bestDistance) continue;
    const distance = slips(word, candidate);
    if (distance < bestDistance) [best, bestDistance] = [candidate, distance];
  }
  return best;
}

/** Slips between two words: each row holds the distances from the first letters of `from` to every start of `to`. */
function slips(from: string, to: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: to.length + 1 }, (_, j) => j);
  for (let i = 1; i <= from.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= to.length; j += 1) {
      const same = from[i - 1] === to[j - 1];
      const swapped = i > 1 && j > 1 && from[i - 1] === to[j - 2] && from[i - 2] === to[j - 1];
      row[j] = Math.min(
        (row[j - 1] ?? 0) + 1,
        (last[j] ?? 0) + 1,
        (last[j - 1] ?? 0) + (same ? 0 : 1),
        swapped ? (beforeLast[j - 2] ?? 0) + 1 : Infinity,
      );
    }
    [beforeLast, last] = [last, row];
  }
  return last[to.length] ?? 0;
}
