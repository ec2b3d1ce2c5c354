const bars = '▁▂▃▄▅▆▇█';
const widest = 60;

/** One line of bars from zero to the highest, with the lowest and the highest as figures. */
export function plot(title, values) {
  const step = Math.max(1, Math.ceil(values.length / widest));
  const shown = [];
  for (let from = 0; from < values.length; from += step) shown.push(median(values.slice(from, from + step)));
  const known = shown.filter((value) => !Number.isNaN(value));
  const highest = Math.max(...known);
  const bar = (value) => bars[Math.min(7, Math.max(0, Math.floor((value / highest) * 7.999)))];
  const line = shown.map((value) => (Number.isNaN(value) ? ' ' : bar(value))).join('');
  return `${title}\n  ${line}  ${Math.min(...known).toFixed(2)} to ${highest.toFixed(2)}`;
}

/**
 * What may differ between the beginning and the end of a run that is flat: a share and a least amount, the larger of which counts.
 * Heap: what is remembered per winder moves by some megabytes with the rolls and the readings held for the live page.
 * Resident: SQLite fills its page cache (32 MiB) and its log (64 MiB at most) only slowly, and the allocator gives back late.
 * Delays: a busy machine moves them by a scheduler's slice and more; what leaks or falls behind grows by seconds.
 */
const allowed = [
  ['heapMB', 0.15, 8],
  ['residentMB', 0.15, 48],
  ['delayP50Ms', 0.2, 150],
  ['delayP99Ms', 0.5, 1000],
];

/** Compares the first third after the warm-up (a fifth of the run) with the last third, by medians. */
export function verdictOn(samples) {
  const warm = samples.slice(Math.floor(samples.length / 5));
  const third = Math.max(1, Math.floor(warm.length / 3));
  return allowed.map(([what, share, least]) => {
    const values = warm.map((sample) => sample[what]);
    const from = median(values.slice(0, third));
    const to = median(values.slice(-third));
    const mayGrowTo = from + Math.max(from * share, least);
    // Not a number (nothing came) is no flat line either.
    return { what, from, to, mayGrowTo, grows: !(to <= mayGrowTo) };
  });
}

function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? NaN;
}
