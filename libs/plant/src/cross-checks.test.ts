import { describe, expect, it } from 'vitest';
import { type Edit, edited, placed } from './fixtures/small-plant.js';
import type { PlantProblem } from './problem.js';
import { readPlant } from './read-plant.js';

/** Severity, path, value and expectation of all that is found, and where it is found. */
function findings(text: string): readonly PlantProblem[] {
  const reading = readPlant(text);
  return [...(reading.ok ? [] : reading.problems), ...reading.warnings];
}

const station = 'areas[0].lines[0].winders[0].stations[0]';
const stationB = 'areas[0].lines[0].winders[0].stations[1]';
const machine = 'areas[0].lines[0].winders[0].limits';

/** One finding is expected and no other: ¶ marks its place in the edited file, then `path: got value, expected ...`. */
type Row = readonly [what: string, edits: readonly Edit[], expected: string];

const rows = (severity: PlantProblem['severity'], table: readonly Row[]) => {
  it.each(table)('%s', (_, edits, expected) => {
    const { text, place } = placed(edited(...edits));
    const all = findings(text).map(
      (found) =>
        `${found.line}:${found.column} ${found.severity} ${found.path}: got ${found.value}, expected ${found.expected}`,
    );
    expect(all).toEqual([`${place} ${severity} ${expected}`]);
  });
};

describe('problems between the parts of a plant file', () => {
  rows('error', [
    [
      'a winder id that stands twice in the site, even in another line',
      [
        [
          'grades:\n',
          '      - id: other\n        name: Other\n        winders:\n          - id: ¶w1\n            name: Again\n            limits: { speedMPerS: { max: 12 }, tensionNPerM: { min: 40, max: 300 }, nipLoadNPerM: { min: 1, max: 9000 }, diameterM: { max: 0.8 } }\n            stations: [{ id: z, name: Z, coreDiameterM: 0.1, rolls: [{ id: r, widthM: 1 }], nip: null, defaultGrade: clear }]\ngrades:\n',
        ],
      ],
      'areas[0].lines[1].winders[0].id: got "w1", expected an id that no other winder of the site has; areas[0].lines[0].winders[0] has it already',
    ],
    [
      'a roll id twice at one station',
      [['id: a2', 'id: ¶a1']],
      `${station}.rolls[1].id: got "a1", expected an id that no other roll of this station has; ${station}.rolls[0] has it already`,
    ],
    [
      'a grade that is not known',
      [['defaultGrade: clear\n              - id: b', 'defaultGrade: ¶claer\n              - id: b']],
      `${station}.defaultGrade: got "claer", expected a grade of this file; the nearest is clear`,
    ],
    [
      'a winder that is not known',
      [['winder: w1\n    station: a\n    payload', 'winder: ¶paper\n    station: a\n    payload']],
      'sources[2].winder: got "paper", expected a winder of this file: w1',
    ],
    [
      'a station that is not known',
      [['station: a\n    payload', 'station: ¶main\n    payload']],
      'sources[2].station: got "main", expected a station of w1 of this file: a, b',
    ],
    [
      'a capture that does not exist',
      [
        ['{station}/drive', '{statoin}/drive'],
        ['topic: t/{winder}', 'topic: ¶t/{winder}'],
      ],
      'sources[0].topic: got "t/{winder}/{statoin}/drive", expected {station} instead of {statoin}',
    ],
    [
      'the wildcard + of the broker',
      [['topic: t/w1/a/set-end', 'topic: ¶t/+/a/set-end']],
      'sources[2].topic: got "t/+/a/set-end", expected {any} for one level instead of +',
    ],
    [
      '# before the end',
      [['topic: t/w1/a/set-end', 'topic: ¶t/#/set-end']],
      'sources[2].topic: got "t/#/set-end", expected # only as the whole last level',
    ],
    [
      'a capture that is part of a level',
      [['topic: t/w1/a/set-end', 'topic: ¶t/w{any}/set-end']],
      'sources[2].topic: got "t/w{any}/set-end", expected a capture as a whole level between slashes, such as {any}, instead of w{any}',
    ],
    [
      'a shared subscription',
      [['topic: t/w1/a/set-end', 'topic: ¶$share/g/t']],
      'sources[2].topic: got "$share/g/t", expected the topic itself, without $share and its group',
    ],
    [
      'a capture twice',
      [['topic: t/w1/a/nip/{end}', 'topic: ¶t/{end}/a/nip/{end}']],
      'sources[1].topic: got "t/{end}/a/nip/{end}", expected {end} only once',
    ],
    [
      'no way to know the station',
      [['topic: t/w1/a/set-end\n    winder: w1\n    station: a', 'topic: ¶t/w1/a/set-end\n    winder: w1']],
      'sources[2].topic: got "t/w1/a/set-end", expected a level {station}, or the key station in the source or in each of its signals',
    ],
    [
      'a winder both captured and given',
      [['drive\n    time', 'drive\n    winder: ¶w1\n    time']],
      'sources[0].winder: got "w1", expected no winder here, as the topic captures it',
    ],
    [
      'a station both captured and given with a signal',
      [['pointer: /speed', 'station: ¶a, pointer: /speed']],
      'sources[0].signals[0].station: got "a", expected no station here, as the topic captures it',
    ],
    [
      'a time in a plain payload',
      [['payload: plain', 'payload: plain\n    time: ¶{ pointer: /t, format: epoch-s }']],
      'sources[2].time: got a map of 2, expected arrival, as a plain payload holds nothing but the value',
    ],
    [
      'a pointer into a plain payload',
      [['setEndDiameter, unit', 'setEndDiameter, pointer: ¶/v, unit']],
      'sources[2].signals[0].pointer: got "/v", expected no pointer, as the payload is plain: the bare value',
    ],
    [
      'two signals in a plain payload',
      [
        [
          'signals:\n      - { signal: setEndDiameter, unit: mm }',
          'signals:\n      ¶- { signal: setEndDiameter, unit: mm }\n      - { signal: winding }',
        ],
      ],
      'sources[2].signals: got a list of 2, expected one signal, as a plain payload holds one value',
    ],
    [
      'a time beside a bare value',
      [['{ signal: nipAcceleration, pointer: /peak,', '¶{ signal: nipAcceleration,']],
      'sources[1].signals[1].pointer: got nothing, expected a JSON pointer to the value, as the payload holds a time too',
    ],
    [
      'a unit that is not supported',
      [['unit: m/min', 'unit: ¶mpm']],
      'sources[0].signals[0].unit: got "mpm", expected a UCUM code that is supported; the nearest is m/min',
    ],
    [
      'a unit of another dimension',
      [['unit: m/min', 'unit: ¶mm']],
      'sources[0].signals[0].unit: got "mm", expected a unit of speed for speed: m/s, m/min, m/h, km/h, mm/s, mm/min, [in_i]/s, [ft_i]/s, [ft_i]/min, [yd_i]/min',
    ],
    [
      'a force where a force per width is wanted',
      [['unit: kN/m', 'unit: ¶kN']],
      'sources[1].signals[0].unit: got "kN", expected a unit of force per width for nipLoad: N/m, daN/m, kN/m, N/cm, daN/cm, N/mm, kgf/m, kgf/cm, [lbf_av]/[in_i], [lbf_av]/[ft_i]; or total: true, if it is the force over the whole width',
    ],
    [
      'a force per width that is called a total',
      [['unit: N, total', 'unit: ¶N/m, total']],
      'sources[0].signals[2].unit: got "N/m", expected a unit of force for tension in total: N, daN, kN, kgf, [lbf_av]',
    ],
    [
      'a unit for text',
      [['{ signal: setEndDiameter, unit: mm }', '{ signal: grade, unit: ¶mm }']],
      'sources[2].signals[0].unit: got "mm", expected no unit, as grade is text',
    ],
    [
      'an end for a signal without ends',
      [['pointer: /speed', 'end: ¶drive, pointer: /speed']],
      'sources[0].signals[0].end: got drive, expected no end, as speed has none; only nipLoad or nipLoadSwing or nipAcceleration or cylinderPressure may be given per end',
    ],
    [
      'a captured end for a signal without ends',
      [
        [
          '- { signal: nipAcceleration',
          '- { signal: ¶coreRotation, pointer: /r, expectedPeriodS: 1 }\n      - { signal: nipAcceleration',
        ],
      ],
      'sources[1].signals[1].signal: got coreRotation, expected nipLoad or nipLoadSwing or nipAcceleration or cylinderPressure under a topic with {end}; coreRotation has no ends ({any} passes over a level)',
    ],
    [
      'an end both captured and given',
      [['pointer: /load', 'end: ¶drive, pointer: /load']],
      'sources[1].signals[0].end: got drive, expected no end here, as the topic captures it',
    ],
    [
      'a total of something without width',
      [['unit: mm, expectedPeriodS', 'unit: mm, total: ¶true, expectedPeriodS']],
      'sources[0].signals[1].total: got true, expected false, as diameter is no quantity per width; only tension or nipLoad or riderLoad may be given in total',
    ],
    [
      'a plausible range upside down',
      [['unit: m/min', 'unit: m/min, plausible: { min: ¶20, max: 15 }']],
      'sources[0].signals[0].plausible.min: got 20, expected less than max, 15 m/s',
    ],
    [
      'activated without a calibration',
      [
        [
          '    calibration:\n      ratedRolls: 24\n      criticalSpeedUncertaintyRatio: 0.03\n      approvedBy: test\n      approvedOn: 2026-11-02\n    activated: true',
          '    activated: ¶true',
        ],
      ],
      'grades[0].activated: got true, expected a calibration beside it: people are called only for a boundary that rated rolls confirmed',
    ],
    [
      'a boundary factor without a calibration',
      [
        [
          '    calibration:\n      ratedRolls: 24\n      criticalSpeedUncertaintyRatio: 0.03\n      approvedBy: test\n      approvedOn: 2026-11-02\n    activated: true',
          '    boundaryFactor: ¶1.4',
        ],
      ],
      'grades[0].boundaryFactor: got 1.4, expected a calibration beside it, or 1: only rated rolls can move the boundary',
    ],
    [
      'a nip load for a station without a nip',
      [
        [
          '- topic: t/w1/a/set-end',
          '- topic: t/w1/b/nip\n    winder: w1\n    station: b\n    signals: [{ signal: ¶nipLoad, expectedPeriodS: 1 }]\n  - topic: t/w1/a/set-end',
        ],
      ],
      'sources[2].signals[0].signal: got nipLoad, expected a station with a nip; w1/b has none',
    ],
    [
      'a diameter from a rotation that nothing measures',
      [
        [
          'coreDiameterM: 0.152\n                rolls:\n                  - { id: b1',
          'coreDiameterM: 0.152\n                diameterFrom: ¶rotation\n                rolls:\n                  - { id: b1',
        ],
      ],
      `${stationB}.diameterFrom: got rotation, expected sources for coreRotation and speed, as the diameter is taken from both`,
    ],
    [
      'a cover thicker than its roller',
      [['coverThicknessM: 0.012', 'coverThicknessM: ¶0.06']],
      `${station}.nip.coverThicknessM: got 0.06, expected less than the roller's radius, 0.06 m`,
    ],
    [
      'lowest above highest',
      [['tensionNPerM: { min: 40', 'tensionNPerM: { min: ¶400']],
      `${machine}.tensionNPerM.min: got 400, expected less than max, 300 N/m`,
    ],
    [
      'a risk limit below its deadband',
      [['grades:\n', 'limits:\n  edgeRisk: { reached: 0.1, deadband: ¶0.2 }\ngrades:\n']],
      'limits.edgeRisk.deadband: got 0.2, expected less than reached, 0.1: a risk never falls below 0, so the alarm would never clear',
    ],
    [
      'a deadband as large as the limit of the nip-bounce indicator',
      [['grades:\n', 'limits:\n  nipBounce: { deadbandRatio: ¶1 }\ngrades:\n']],
      'limits.nipBounce.deadbandRatio: got 1, expected less than 1: the indicator never falls below 0, so the alarm would never clear',
    ],
    [
      'a risk limit of 0',
      [['grades:\n', 'limits:\n  edgeRisk: { reached: ¶0 }\ngrades:\n']],
      'limits.edgeRisk.reached: got 0, expected more than 0: a risk of 0 is always reached',
    ],
  ]);

  it('name each station that the same messages tell a signal twice', () => {
    const text = edited([
      '- { signal: diameter',
      '- { signal: speed, pointer: /other, expectedPeriodS: 1 }\n      - { signal: diameter',
    ]);
    expect(findings(text).map(({ severity, path, expected }) => `${severity} ${path}: ${expected}`)).toEqual([
      'error sources[0].signals[1].signal: one source of speed for w1/a; sources[0].signals[0] is another that takes the same messages',
      'error sources[0].signals[1].signal: one source of speed for w1/b; sources[0].signals[0] is another that takes the same messages',
    ]);
  });

  it('name each station whose set end lies inside the core or beyond the machine', () => {
    const told = (setEnd: string) =>
      findings(edited(['setEndDiameterM: 0.26', `setEndDiameterM: ${setEnd}`])).map(
        ({ severity, path, expected }) => `${severity} ${path}: ${expected}`,
      );
    expect(told('0.15')).toEqual([
      `error ${station}.defaultGrade: a grade whose set ends above the core, 0.152 m; the set of clear ends at 0.15 m`,
      `error ${stationB}.defaultGrade: a grade whose set ends above the core, 0.152 m; the set of clear ends at 0.15 m`,
    ]);
    expect(told('0.9')).toEqual([
      `error ${station}.defaultGrade: a grade whose set ends within the winder's 0.8 m; the set of clear ends at 0.9 m`,
      `error ${stationB}.defaultGrade: a grade whose set ends within the winder's 0.8 m; the set of clear ends at 0.9 m`,
    ]);
    expect(told('0.8')).toEqual([]);
  });

  it('name a grade that no station assumes and none could wind', () => {
    const other =
      '  - { id: other, name: Other, caliperM: 60e-6, combinedRoughnessM: 0.4e-6, permeanceMPerPaS: 0, setEndDiameterM: 0.9, plannedSpeedMPerS: 13 }\nsources:\n';
    expect(
      findings(edited(['sources:\n', other])).map(
        ({ severity, path, expected }) => `${severity} ${path}: ${expected}`,
      ),
    ).toEqual([
      'error grades[1].setEndDiameterM: at most 0.8 m, the largest diameter of any winder here',
      'error grades[1].plannedSpeedMPerS: at most 12 m/s, the highest speed of any winder here',
    ]);
  });
});

describe('warnings', () => {
  rows('warning', [
    [
      'of a roughness that is no smaller than the web',
      [
        ['combinedRoughnessM: 0.4e-6', 'combinedRoughnessM: ¶40e-6'],
        ['permeanceMPerPaS: 0', 'permeanceMPerPaS: 3e-6'],
      ],
      'grades[0].combinedRoughnessM: got 4e-5, expected an rms roughness in metres below a third of the caliper (2e-5 m)',
    ],
    [
      'of a permeance of 0 for a web as rough as paper',
      [
        ['combinedRoughnessM: 0.4e-6', 'combinedRoughnessM: 5e-6'],
        ['permeanceMPerPaS: 0', 'permeanceMPerPaS: ¶0'],
      ],
      'grades[0].permeanceMPerPaS: got 0, expected the permeance of a web this rough: paper lets air through; 0 is for film and foil',
    ],
    [
      'of a mass per area that fits no density',
      [['permeanceMPerPaS: 0', 'permeanceMPerPaS: 0\n    grammageKgPerM2: ¶1.2']],
      'grades[0].grammageKgPerM2: got 1.2, expected a mass per area that gives 50 to 9000 kg/m3 with the caliper; this gives 20000 kg/m3',
    ],
    [
      'of people called after few rated rolls',
      [['ratedRolls: 24', 'ratedRolls: ¶4']],
      'grades[0].calibration.ratedRolls: got 4, expected 10 rated rolls or more before people are called',
    ],
    [
      'of a cover neither rubber nor metal',
      [['coverModulusPa: { value: 3e6', 'coverModulusPa: ¶{ value: 3e5']],
      `${station}.nip.coverModulusPa: got 300000, expected pascal: 0.5e6 to 5e9 Pa for covers, 50e9 to 250e9 Pa for a bare metal roller; 1 MPa is 1e6 Pa`,
    ],
    [
      'of a speed in m/min that passes for m/s',
      [['speedMPerS: { min: 0, max: 12 }', 'speedMPerS: { min: 0, max: ¶60 }']],
      `${machine}.speedMPerS.max: got 60, expected m/s, at most 50 for the fastest winders; 60 m/min would be 1.00`,
    ],
    [
      'of a web wider than any',
      [
        ['{ id: b1, widthM: 1.2 }', '{ id: b1, widthM: 12.5 }'],
        ['rolls:\n                  - { id: b1', 'rolls:\n                  ¶- { id: b1'],
      ],
      `${stationB}.rolls: got 12.5 m in all, expected rolls that are 12 m wide together at most, in metres`,
    ],
    [
      'of a signal that may fall silent unnoticed',
      [
        [
          '- { signal: nipLoad, pointer: /load, unit: kN/m, expectedPeriodS: 1 }',
          '- ¶{ signal: nipLoad, pointer: /load, unit: kN/m }',
        ],
      ],
      'sources[1].signals[0]: got no expectedPeriodS for nipLoad, expected the seconds between two readings: without it a sensor that falls silent is never noticed',
    ],
    [
      'of a plausible range below what the machine reaches',
      [['unit: m/min', 'unit: m/min, plausible: { min: 0, max: ¶10 }']],
      'sources[0].signals[0].plausible.max: got 10, expected at least 12 m/s, which the machine may reach: readings above are not used',
    ],
    [
      "of a plausible range in the payload's unit",
      [['unit: m/min', 'unit: m/min, plausible: { min: 0, max: ¶800 }']],
      "sources[0].signals[0].plausible.max: got 800, expected a range in m/s, the SI unit, near the machine's highest, 12 m/s",
    ],
    [
      'of a total per end without a factor',
      [['unit: kN/m', 'unit: kN, total: ¶true']],
      'sources[1].signals[0].total: got true, expected factor: 2 beside it, if each end carries about half of the total: the value is divided by the whole width',
    ],
    [
      'of an acceleration without a mass',
      [
        ['                  effectiveMassPerEndKg: 40\n', ''],
        ['kind: lay-on', '¶kind: lay-on'],
      ],
      `${station}.nip: got no effectiveMassPerEndKg, expected the mass of roller and arms per end: without it the acceleration does not tell the way to contact loss`,
    ],
    [
      'of a nip without limits of its load',
      [
        ['              nipLoadNPerM: { min: 50, max: 800 }\n', ''],
        ['kind: lay-on', '¶kind: lay-on'],
      ],
      `${station}.nip: got a nip, expected the winder's limits for nipLoadNPerM too: without them no change of nip load can be advised`,
    ],
    [
      'of an alarm that comes too late to act on',
      [['grades:\n', 'limits:\n  edgeRisk: { responseS: 60, lookAheadS: ¶60 }\ngrades:\n']],
      'limits.edgeRisk.lookAheadS: got 60, expected more than 65 s (detection 2 s, onDelayS 3 s and responseS 60 s): the alarm would come too late to act on',
    ],
    [
      'of topics that overlap',
      [['topic: t/w1/a/set-end', 'topic: ¶t/{any}/a/#']],
      'sources[2].topic: got "t/{any}/a/#", expected a topic that no other source takes; messages can fit "t/{winder}/{station}/drive" too',
    ],
    [
      'of Sparkplug payloads',
      [['topic: t/w1/a/set-end', 'topic: ¶spBv1.0/g/DDATA/n/d']],
      'sources[2].topic: got "spBv1.0/g/DDATA/n/d", expected a topic with JSON or plain payloads: Sparkplug B payloads under spBv1.0 are not read',
    ],
    [
      'of a roughness below any web',
      [['combinedRoughnessM: 0.4e-6', 'combinedRoughnessM: ¶4e-9']],
      'grades[0].combinedRoughnessM: got 4e-9, expected an rms roughness in metres of at least 1e-8 m; nanometres typed twice over?',
    ],
    [
      'of a permeance beyond the most open tissue',
      [
        ['combinedRoughnessM: 0.4e-6', 'combinedRoughnessM: 12e-6'],
        ['permeanceMPerPaS: 0', 'permeanceMPerPaS: ¶0.05'],
      ],
      'grades[0].permeanceMPerPaS: got 0.05, expected m/(Pa s) up to 0.02, the most open tissue; 1 um/(Pa s) is 1e-6 m/(Pa s)',
    ],
    [
      'of a web as smooth as film that lets air through',
      [
        ['combinedRoughnessM: 0.4e-6', 'combinedRoughnessM: 0.2e-6'],
        ['permeanceMPerPaS: 0', 'permeanceMPerPaS: ¶1e-6'],
      ],
      'grades[0].permeanceMPerPaS: got 1e-6, expected about 0 for a web this smooth: film and foil let no air through',
    ],
    [
      'of a signal told both by end and not',
      [
        [
          '- topic: t/w1/a/set-end',
          '- topic: u/w1/a/nip\n    winder: w1\n    station: a\n    signals: [¶{ signal: nipLoad, expectedPeriodS: 1 }]\n  - topic: t/w1/a/set-end',
        ],
      ],
      'sources[2].signals[0].end: got both, expected tending or drive, as nipLoad of w1/a is told by end elsewhere',
    ],
    [
      'of two sources for one signal',
      [
        [
          '- topic: t/w1/a/set-end',
          '- topic: u/w1/a/nip/{end}\n    winder: w1\n    station: a\n    signals: [{ signal: ¶nipLoad, pointer: /x, expectedPeriodS: 1 }]\n  - topic: t/w1/a/set-end',
        ],
      ],
      'sources[2].signals[0].signal: got nipLoad, expected one source of nipLoad for w1/a; sources[1].signals[0] is another',
    ],
  ]);

  it.each([
    ['speed', 'the air-entrainment margin and the boundary ahead'],
    ['diameter', 'the air-entrainment margin and the boundary ahead'],
    ['tension', 'the air-entrainment margin'],
  ])('say what cannot be watched without %s, at each station', (signal, unwatched) => {
    const row =
      edited()
        .split('\n')
        .find((text) => text.includes(`signal: ${signal},`)) ?? '';
    expect(
      findings(edited([`${row}\n`, ''])).map(({ severity, path, value, expected }) => [
        severity,
        path,
        value,
        expected,
      ]),
    ).toEqual(
      ['a', 'b'].map((id, index) => [
        'warning',
        `areas[0].lines[0].winders[0].stations[${index}]`,
        `no signal ${signal} for w1/${id}`,
        `a source for ${signal}; without it nobody watches ${unwatched}`,
      ]),
    );
  });

  it('say what cannot be watched at a nip without its signals', () => {
    const without = (signal: string) => {
      const row =
        edited()
          .split('\n')
          .find((text) => text.includes(`signal: ${signal},`)) ?? '';
      return findings(edited([`${row}\n`, ''])).map(({ path, expected }) => `${path}: ${expected}`);
    };
    expect(without('nipLoad')).toEqual([
      `${station}: a source for nipLoad; without it nobody watches the air-entrainment margin under the nip and the nip-bounce indicator`,
    ]);
    expect(without('nipAcceleration')).toEqual([
      `${station}: a source for nipAcceleration; without it nobody watches nip bounce; nipLoadSwing instead tells the swing of the load only`,
    ]);
  });

  it('are not given for what a topic that captures the winder may not be meant for', () => {
    // The second winder has sources of its own under other topics; `t/{winder}/...` would fit its name too.
    const second = `          - id: w2
            name: Winder 2
            limits: { speedMPerS: { max: 30 }, tensionNPerM: { min: 100, max: 600 }, diameterM: { max: 1.3 } }
            stations: [{ id: main, name: Main, coreDiameterM: 0.1, rolls: [{ id: r, widthM: 1 }], nip: null, defaultGrade: clear }]
grades:
`;
    const own = ['speed', 'diameter', 'tension']
      .map(
        (signal) =>
          `  - { topic: mill/${signal}, winder: w2, station: main, signals: [{ signal: ${signal}, expectedPeriodS: 1 }] }\n`,
      )
      .join('');
    const text = edited(
      ['grades:\n', second],
      ['sources:\n', `sources:\n${own}`],
      ['unit: m/min', 'unit: m/min, plausible: { min: 0, max: 15 }'],
    );
    expect(findings(text)).toEqual([]);
  });

  it('say so where there are too many sources to see what reaches which station', () => {
    const many = `  - topic: m/{winder}/{station}\n    signals:\n${'      - { signal: winding, pointer: /w }\n'.repeat(12_000)}`;
    const stations = Array.from(
      { length: 4 },
      (_, i) =>
        `              - { id: s${i}, name: S, coreDiameterM: 0.1, rolls: [{ id: r, widthM: 1 }], nip: null, defaultGrade: clear }\n`,
    );
    const told = findings(
      edited(['sources:\n', `sources:\n${many}`], ['grades:\n', `${stations.join('')}grades:\n`]),
    );
    expect(told.map(({ severity, path, expected }) => `${severity} ${path}: ${expected}`)).toEqual([
      'warning sources: at most 50000 pairs of a signal and a station it may be meant for: what reaches which station is not checked',
    ]);
  }, 30_000);

  it('are given beside the problems of another part', () => {
    const reading = readPlant(edited(['ratedRolls: 24', 'ratedRolls: 4'], ['unit: m/min', 'unit: mm']));
    expect([reading.ok, !reading.ok && reading.problems.length, reading.warnings.length]).toEqual([
      false,
      1,
      1,
    ]);
  });
});

describe('a property that may be told in several ways', () => {
  const faults = (...edits: readonly Edit[]) =>
    findings(edited(...edits)).map(({ path, value, expected }) => [path, value, expected]);

  it('is told once: roughness by itself or by its faces, not both', () => {
    expect(
      faults(['combinedRoughnessM: 0.4e-6', 'combinedRoughnessM: 0.4e-6\n    faces: [{ ppsM: 1.2e-6 }]']),
    ).toContainEqual([
      'grades[0].faces',
      'combinedRoughnessM and faces',
      'exactly one of combinedRoughnessM, faces',
    ]);
  });

  it('is told at all', () => {
    expect(faults(['    permeanceMPerPaS: 0\n', ''])).toContainEqual([
      'grades[0]',
      'none of them',
      'exactly one of permeanceMPerPaS, gurleyS, bendtsenMlPerMin',
    ]);
  });

  it('may be what the laboratory gives', () => {
    const text = edited(
      ['combinedRoughnessM: 0.4e-6', 'faces: [{ ppsM: 1.2e-6 }, { ppsM: 1.4e-6 }]'],
      ['permeanceMPerPaS: 0', 'gurleyS: 200'],
      ['coverModulusPa: { value: 3e6, uncertaintyRatio: 0.15 }', 'coverShoreA: 60'],
    );
    expect(findings(text).filter(({ severity }) => severity === 'error')).toEqual([]);
  });
});
