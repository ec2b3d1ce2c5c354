// The plant of the load: so many winders of one station each, five signals a station, a message a signal.

/** A cell of the grid is closed by the first reading of this much beyond its end. */
export const latenessS = 1;

export const signals = ['speed', 'diameter', 'tension', 'load', 'peak'];

/** What a film roll shows that has grown from its core at 6 m/s for so long; `n` scatters the values a little. */
export function valuesAt(sinceStartS, n) {
  const diameterM = Math.sqrt(0.152 ** 2 + (4 * 60e-6 * 6 * sinceStartS) / Math.PI);
  const scatter = (n % 7) * 0.01;
  return {
    speed: 360 + scatter,
    diameter: diameterM * 1000 + scatter,
    tension: 120 + scatter,
    load: 300 + scatter,
    peak: 1.2 + scatter,
  };
}

/** The plant file of so many winders, as text. Invented. */
export function plantOf(winders, siteId = 'bench') {
  return `plantFileVersion: 1
site: { id: ${siteId}, name: Bench }
areas:
  - id: area
    name: Area
    lines:
      - id: line
        name: Line
        winders:${Array.from({ length: winders }, (_, index) => winder(index)).join('')}
limits: { latenessAllowedS: ${latenessS} }
grades:
  - id: film
    name: Film
    caliperM: 60.0e-6
    combinedRoughnessM: 0.5e-6
    permeanceMPerPaS: 0
    setEndDiameterM: 0.6
    calibration: { ratedRolls: 20, criticalSpeedUncertaintyRatio: 0.03, approvedBy: bench, approvedOn: 2026-01-01 }
    activated: true
sources:${sources.join('')}
`;
}

const sources = [
  ['speed', 'speed', 'm/min'],
  ['diameter', 'diameter', 'mm'],
  ['tension', 'tension', 'N/m'],
  ['load', 'nipLoad', 'N/m'],
  ['peak', 'nipAcceleration', 'm/s2'],
].map(
  ([name, signal, unit]) => `
  - topic: bench/{winder}/{station}/${name}
    time: { pointer: /t, format: epoch-ms }
    sequence: /n
    signals: [{ signal: ${signal}, pointer: /v, unit: "${unit}", expectedPeriodS: 0.1, uncertaintyRatio: 0.002 }]`,
);

/** On one line: a plant file may have 500 000 characters, and a thousand winders are to fit. */
function winder(index) {
  return `
          - { id: w${index}, name: Winder ${index}, limits: { ${limits} }, stations: [{ ${station} }] }`;
}

const limits =
  'speedMPerS: { max: 12 }, tensionNPerM: { min: 40, max: 300 }, nipLoadNPerM: { min: 50, max: 800 }, diameterM: { max: 0.8 }';
const station =
  'id: a, name: A, coreDiameterM: 0.152, rolls: [{ id: only, widthM: 1.2 }], nip: { kind: lay-on roller, rollerDiameterM: 0.12, coverModulusPa: 3.0e+6, effectiveMassPerEndKg: 20 }, defaultGrade: film';
