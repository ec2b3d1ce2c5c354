import type { Scenario } from '@edge-margin/simulator';

type Winder = Scenario['winders'][number];
type Station = Winder['stations'][number];
type Grade = Scenario['grades'][string];

/**
 * The plant file that the people of a scenario's plant would have written (YAML; JSON is YAML): names, widths, diameters, nominal properties to
 * two digits with the uncertainty that data sheets have. What is hidden in the scenario stays hidden: the bias and the exponents of the film,
 * damping, what is out of true, faults of instruments. The roughness is taken from the reach of the peaks as three times the combined roughness.
 *
 * Every grade is activated with a boundary factor of 1, so that one sees when people would be called.
 */
export function plantFor(scenario: Scenario): string {
  return JSON.stringify(
    {
      plantFileVersion: 1,
      site: { id: 'report', name: 'Invented plant (simulated)' },
      areas: [
        {
          id: 'hall',
          name: 'Hall',
          lines: [
            { id: 'line', name: 'Line', winders: scenario.winders.map((one) => winder(scenario, one)) },
          ],
        },
      ],
      grades: Object.values(scenario.grades).map((one) => grade(scenario, one)),
      sources: sources(scenario),
      limits: {
        edgeRisk: { lookAheadS: 60, responseS: 10 },
        nipBounce: { contactLossRatio: 0.8, swingRatio: 0.6 },
      },
    },
    null,
    1,
  );
}

function winder(scenario: Scenario, { id, line, stations }: Winder): object {
  const most = (value: (station: Station) => number): number => Math.max(...stations.map(value));
  return {
    id,
    name: id,
    simulated: true,
    limits: {
      speedMPerS: { min: 0, max: nominal(1.3 * most(({ programme }) => programme.runSpeedMPerS)) },
      tensionNPerM: { min: 1, max: nominal(2.5 * most(({ tension }) => tension.tensionNPerM)) },
      nipLoadNPerM: { min: 10, max: nominal(2.5 * most(({ nip }) => nip?.loadNPerM ?? 100)) },
      diameterM: { max: nominal(1.3 * most(({ setEndDiameterM }) => setEndDiameterM)) },
    },
    stations: stations.map((station) => stationOf(scenario, line, station)),
  };
}

function stationOf(scenario: Scenario, line: Winder['line'], station: Station): object {
  const strips = (line?.slitter?.strips ?? []).filter((strip) => strip.station === station.id);
  const widths = strips.length > 0 ? strips.map(({ widthM }) => widthM) : [station.widthM];
  return {
    id: station.id,
    name: station.id,
    coreDiameterM: station.coreDiameterM,
    rolls: widths.map((widthM, i) => ({ id: `r${i + 1}`, widthM })),
    nip: nipOf(station),
    defaultGrade: scenario.grades[station.grade]?.name,
  };
}

function nipOf({ nip }: Station): object | null {
  if (nip === null) return null;
  return {
    kind: nip.rollerDiameterM > 0.3 ? 'rider roll' : 'lay-on roller',
    rollerDiameterM: nip.rollerDiameterM,
    coverModulusPa: { value: nominal(nip.coverModulusPa), uncertaintyRatio: 0.15 },
    coverPoissonRatio: nip.coverPoissonRatio,
    effectiveMassPerEndKg: nominal(nip.massKg / 2),
  };
}

function grade(scenario: Scenario, one: Grade): object {
  const stations = scenario.winders
    .flatMap(({ stations: all }) => all)
    .filter((station) => scenario.grades[station.grade] === one);
  return {
    id: one.name,
    name: one.name,
    caliperM: nominal(one.caliperM),
    combinedRoughnessM: { value: nominal(one.peaks.reachM / 3), uncertaintyRatio: 0.1 },
    permeanceMPerPaS: { value: nominal(one.permeanceMPerPaS), uncertaintyRatio: 0.3 },
    modulusPa: nominal(one.modulusPa),
    frictionRatio: nominal(one.friction),
    ...(stations[0] === undefined
      ? {}
      : {
          setEndDiameterM: stations[0].setEndDiameterM,
          plannedSpeedMPerS: stations[0].programme.runSpeedMPerS,
        }),
    calibration: {
      ratedRolls: 12,
      criticalSpeedUncertaintyRatio: 0.05,
      approvedBy: 'Process engineering (simulated)',
      approvedOn: '2026-01-05',
    },
    activated: true,
  };
}

/** What is reported by exception has no period that a plant could name. */
function sources(scenario: Scenario): readonly object[] {
  const { topics, samplePeriodS, winders } = scenario;
  const stations = winders.flatMap((one) => one.stations);
  const period = (instrument: keyof Station['instruments']): object =>
    stations.some(({ instruments }) => instruments[instrument]?.byException !== undefined)
      ? {}
      : { expectedPeriodS: samplePeriodS };
  const signal = (name: string, at: string, unit: string, more: object = {}): object => ({
    signal: name,
    pointer: at,
    ...(unit === '' ? {} : { unit }),
    ...more,
  });
  return [
    {
      topic: topics.drive,
      time: { pointer: '/t', format: 'epoch-ms' },
      sequence: '/n',
      signals: [
        signal('speed', '/speed', 'm/min', {
          ...period('speed'),
          uncertaintyRatio: 0.002,
          plausible: { min: -1, max: 70 },
        }),
        signal('diameter', '/diameter', 'mm', {
          ...period('diameter'),
          uncertainty: 0.0005,
          plausible: { min: 0.05, max: 2 },
        }),
        signal('tension', '/tension', 'N', {
          ...period('tension'),
          total: true,
          uncertaintyRatio: 0.02,
          plausible: { min: -20, max: 3000 },
        }),
        signal('winding', '/winding', ''),
        signal('grade', '/grade', ''),
      ],
    },
    {
      topic: topics.nip,
      time: { pointer: '/t', format: 'rfc3339' },
      signals: [
        signal('nipLoad', '/load', 'kN/m', {
          ...period('load'),
          uncertaintyRatio: 0.03,
          plausible: { min: -100, max: 20000 },
        }),
        signal('nipAcceleration', '/peakAcceleration', 'm/s2', {
          ...period('peakAcceleration'),
          uncertaintyRatio: 0.05,
          plausible: { min: -50, max: 500 },
        }),
        signal('nipLoadSwing', '/swing', '%', {
          ...period('swing'),
          uncertainty: 0.01,
          plausible: { min: 0, max: 3 },
        }),
      ],
    },
    { topic: topics.setEnd, payload: 'plain', signals: [{ signal: 'setEndDiameter', unit: 'mm' }] },
  ];
}

/** Two digits, as on a data sheet. */
function nominal(value: number): number {
  return Number(value.toPrecision(2));
}
