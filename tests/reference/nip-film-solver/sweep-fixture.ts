import { readFileSync, writeFileSync } from 'node:fs';
import { keptFilm, COARSE_NODES, FINE_NODES, type KeptFilm } from './kept-film.js';
import { sweptPoints, type SweptPoint } from './swept-points.js';

export type SweptFilm = SweptPoint & KeptFilm;

/** The cached sweep: points and what the reference solver found there. */
export interface SweepFixture {
  readonly source: string;
  readonly recompute: string;
  readonly seed: number;
  readonly points: readonly SweptFilm[];
}

const fixtureUrl = new URL('./fixtures/nip-film-sweep.json', import.meta.url);
const SEED = 20_251;

export const readSweepFixture = (): SweepFixture =>
  JSON.parse(readFileSync(fixtureUrl, 'utf8')) as SweepFixture;

/** Solves the whole sweep anew and overwrites the fixture, a point to a line. */
export const recomputeSweepFixture = (): SweepFixture => {
  const points = sweptPoints(SEED).map((point) => ({ ...point, ...rounded(keptFilm(point)) }));
  const head = {
    source:
      'Own numerical solution: soft elastohydrodynamic line contact with isothermal gas and first-order slip ' +
      `(tests/reference/nip-film-solver), ${COARSE_NODES} and ${FINE_NODES} nodes, Richardson extrapolation.`,
    recompute:
      'REGEN=1 npx vitest run --config .config/vitest.config.mjs --project reference tests/reference/nip-film-sweep.test.ts',
    seed: SEED,
  };
  const lines = points.map((point) => `    ${JSON.stringify(point)}`).join(',\n');
  const open = JSON.stringify(head, null, 2).slice(0, -2);
  writeFileSync(fixtureUrl, `${open},\n  "points": [\n${lines}\n  ]\n}\n`);
  return { ...head, points };
};

const rounded = (film: KeptFilm): KeptFilm => {
  const short = (value: number): number => Number(value.toPrecision(6));
  return {
    keptM: short(film.keptM),
    keptWithoutSlipM: short(film.keptWithoutSlipM),
    minimumFilmM: short(film.minimumFilmM),
    centreFilmM: short(film.centreFilmM),
    peakPressurePa: short(film.peakPressurePa),
    gridChangeRatio: Number(film.gridChangeRatio.toFixed(6)),
  };
};
