import type { AlarmView } from '@edge-margin/alarms';
import type { StationAssessment, WinderView } from '@edge-margin/monitoring';
import {
  alarmFixture,
  clearAssessment,
  fixtureNowMs,
  freeFromAssessment,
  freeNowAssessment,
  liftOffAssessment,
  noRollAssessment,
  notWatchedAssessment,
  riskCurve,
  stationFixture,
  trialAssessment,
  winderFixture,
} from '../../apps/console/src/fixtures/station-fixtures.js';
import { reason } from '../../libs/units/src/index.js';

/** An invented floor of twelve stations in every state. Station 11 is one from which nothing comes any more. */
export const staleKey = 'w11/a';

export function inventedFloor(): readonly WinderView[] {
  return [
    one('w1', 'Winder 1', clearAssessment({ winderId: 'w1', nowM: 0.79 })),
    one('w2', 'Winder 2', freeNowAssessment({ winderId: 'w2' }), [
      alarmFixture({
        winderId: 'w2',
        priority: 'high',
        stage: 'reached',
        because: reason('free-now', 'Wraps are free to move since 836 mm'),
        response: 'Lower the speed to 540 m/min and mark this set.',
      }),
    ]),
    one('w3', 'Winder 3', clearAssessment({ winderId: 'w3', nowM: 0.415, risk: riskCurve(9, 0.1) })),
    one('w4', 'Winder 4', noRollAssessment({ winderId: 'w4' })),
    one('w5', 'Winder 5', freeFromAssessment(), [alarmFixture()]),
    one('w6', 'Winder 6', trialAssessment({ winderId: 'w6' })),
    one('w7', 'Winder 7', notWatchedAssessment({ winderId: 'w7' })),
    winderFixture('w8', 'Winder 8', [
      stationFixture(
        clearAssessment({ winderId: 'w8', stationId: 'a', coreM: 0.076, nowM: 0.702, setEndM: 0.75 }),
      ),
      stationFixture(liftOffAssessment({ winderId: 'w8', stationId: 'b' }), {
        alarms: [
          alarmFixture({
            winderId: 'w8',
            stationId: 'b',
            alarmKey: 'w8.b.nip',
            mechanism: 'nip',
            priority: 'high',
            stage: 'reached',
            because: reason('lift-off', 'The nip lifts off at the drive side'),
            response: 'Follow the site stop rule; then lower the speed to 540 m/min.',
          }),
        ],
      }),
    ]),
    one('w9', 'Winder 9', clearAssessment({ winderId: 'w9', nowM: 0.25, setEndM: 1.25 })),
    one('w10', 'Winder 10', lowPriority(), [
      alarmFixture({ winderId: 'w10', priority: 'low', mechanism: 'nip', alarmKey: 'w10.a.nip' }),
    ]),
    one(
      'w11',
      'Winder 11',
      clearAssessment({ winderId: 'w11', nowM: 0.512, atMs: fixtureNowMs - 38 * 60_000 }),
    ),
  ];
}

function one(
  id: string,
  name: string,
  assessment: StationAssessment,
  alarms: readonly AlarmView[] = [],
): WinderView {
  return winderFixture(id, name, [stationFixture(assessment, { alarms })]);
}

function lowPriority(): StationAssessment {
  const base = freeFromAssessment({
    winderId: 'w10',
    nowM: 0.64,
    setEndM: 1.25,
    risk: riskCurve(1.215, 0.04),
  });
  const at = (diameterM: number, minutes: number) => ({ diameterM, atMs: base.atMs + minutes * 60_000 });
  return {
    ...base,
    state: { word: 'free-from', because: reason('free-from', 'wraps free to move from 1180 mm') },
    forecast: {
      ...base.forecast,
      boundary: { earliest: at(1.18, 38), expected: at(1.215, 41), latest: at(1.25, 44) },
      actBy: at(1.15, 36),
      setEnd: at(1.25, 44),
    },
    because: reason('nip', 'nip: the load swing grows with the diameter'),
  };
}
