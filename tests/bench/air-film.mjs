// What the air film costs: the film alone, one critical speed, one full assessment with uncertainty and remedies, one request checked and answered, and
// an operating map of 100 x 100. Prints one JSON line a row: the medians of CPU time (all threads, so that a busy machine does not count) and of wall time. Goals: film <= 1 us, assessment with
// uncertainty and remedies <= 100 us, map <= 100 ms.
//
//   npm run build && node tests/bench/air-film.mjs [rounds=15]
import {
  answerPoint,
  assessAir,
  criticalSpeed,
  operatingMap,
  remedies,
} from '../../libs/air-film/dist/index.js';
import { airTerms } from '../../libs/air-film/dist/air-terms.js';
import { pointNumbers } from '../../libs/air-film/dist/point-numbers.js';
import { woundInFilm } from '../../libs/air-film/dist/wound-in-film.js';

const rounds = Number(process.argv[2] ?? 15);

/** Illustrative coated paper on a winder with a covered roller. */
const point = {
  web: {
    widthM: 1,
    caliperM: 50e-6,
    combinedRoughnessM: 1.5e-6,
    permeanceMPerPaS: 1e-9,
    grammageKgPerM2: 0.055,
  },
  nip: { rollerDiameterM: 0.5, coverModulusPa: 30e6, loadNPerM: 3000 },
  running: { speedMPerS: 30, rollDiameterM: 1, tensionNPerM: 350 },
  uncertainties: {
    speedRatio: 0.005,
    nipLoadRatio: 0.05,
    combinedRoughnessRatio: 0.2,
    coverModulusRatio: 0.3,
  },
};
const terms = airTerms(pointNumbers(point));

/** The same point with another speed each time, so that nothing can be carried over from one call to the next. */
const faster = (turn) => ({ ...point, running: { ...point.running, speedMPerS: 25 + (turn % 100) / 10 } });

row('film alone', 200_000, 'us', (turn) => woundInFilm(terms, 25 + (turn % 100) / 10));
row('critical speed', 5000, 'us', (turn) => criticalSpeed(faster(turn)));
row('assessment with uncertainty', 2000, 'us', (turn) => assessAir(faster(turn)).floatingWraps);
row('assessment with uncertainty and remedies', 2000, 'us', (turn) => {
  const moved = faster(turn);
  return assessAir(moved).floatingWraps + remedies(moved, 0.1).length;
});
row('the same under a cover of known thickness', 2000, 'us', (turn) => {
  const moved = { ...faster(turn), nip: { ...point.nip, coverThicknessM: 0.015 } };
  return assessAir(moved).floatingWraps + remedies(moved, 0.1).length;
});
row('request checked and answered', 2000, 'us', (turn) => answerPoint(faster(turn)).ok);
row('operating map 100 x 100', 5, 'ms', (turn) => {
  const x = { quantity: 'speed', from: 5 + turn / 100, to: 45, steps: 100 };
  return operatingMap({ point, x, y: { quantity: 'diameter', from: 0.1, to: 1.5, steps: 100 } }).boundary
    .length;
});

function row(what, calls, unit, call) {
  const scale = unit === 'us' ? 1 : 1e-3;
  let used = 0;
  const each = Array.from({ length: rounds + 2 }, () => {
    const begin = process.cpuUsage();
    const beginAtMs = performance.now();
    for (let turn = 0; turn < calls; turn += 1) used += Number(call(turn));
    const wall = ((performance.now() - beginAtMs) * 1000 * scale) / calls;
    const { user, system } = process.cpuUsage(begin);
    return { wall, cpu: ((user + system) * scale) / calls };
  }).slice(2);
  const median = (values) => Number(values.sort((a, b) => a - b)[values.length >> 1].toPrecision(3));
  const cpu = median(each.map((round) => round.cpu));
  const wall = median(each.map((round) => round.wall));
  console.log(JSON.stringify({ what, unit, cpu, wall, calls, used: Math.round(used) }));
}
