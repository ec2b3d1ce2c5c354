export function delay(durationMs) {
  return new Promise((resolve) => setTimeout(resolve, durationMs));
}

/** Waits until a condition holds; says for what it waited in vain. */
export async function waitFor(condition, what, patienceMs = 60_000) {
  const endMs = performance.now() + patienceMs;
  while (!(await condition())) {
    if (performance.now() > endMs) throw new Error(`waited ${patienceMs / 1000} s in vain for ${what}`);
    await delay(50);
  }
}
