import { z } from 'zod';
import { between, ratio } from './schema-figures.js';

const alarmTimingSchema = z.strictObject({
  onDelayS: between(0, 3600, 's', 'The condition must hold this long before the alarm is raised'),
  offDelayS: between(0, 3600, 's', 'The condition must be gone this long before the alarm clears'),
});

/** Limits of the alarms, the same for the whole site. */
export const limitsSchema = z.strictObject({
  edgeRisk: alarmTimingSchema
    .extend({
      reached: ratio('Edge risk at which the boundary counts as reached').default(0.5),
      deadband: ratio('Edge risk must fall this far below the limit before the alarm may clear').default(0.1),
      responseS: between(
        0,
        3600,
        's',
        'Time that people and machine need from the alarm to the changed set point',
      ).default(30),
      lookAheadS: between(
        10,
        36000,
        's',
        'The alarm is raised when the earliest boundary lies no further ahead than this',
      ).default(1800),
      onDelayS: between(0, 3600, 's', 'The condition must hold this long before the alarm is raised').default(
        3,
      ),
      offDelayS: between(
        0,
        3600,
        's',
        'The condition must be gone this long before the alarm clears',
      ).default(10),
    })
    .prefault({}),
  nipBounce: alarmTimingSchema
    .extend({
      contactLossRatio: between(
        0.05,
        1,
        '1',
        'Peak inertia force towards lift-off over static nip force',
      ).default(0.8),
      swingRatio: between(
        0.01,
        1,
        '1',
        'Allowed swing of the nip load, (mean - minimum) / mean, per end',
      ).default(0.3),
      deadbandRatio: ratio(
        'Share of the limit by which the indicator must fall before the alarm may clear',
      ).default(0.1),
      onDelayS: between(0, 3600, 's', 'The condition must hold this long before the alarm is raised').default(
        3,
      ),
      offDelayS: between(
        0,
        3600,
        's',
        'The condition must be gone this long before the alarm clears',
      ).default(10),
    })
    .prefault({}),
  stale: z
    .strictObject({
      afterPeriods: between(
        1.5,
        1000,
        '1',
        'A signal is stale after this many of its expected periods',
      ).default(5),
    })
    .prefault({}),
  latenessAllowedS: between(
    0,
    60,
    's',
    "Readings this far behind the station's time still count for the assessment",
  ).default(1),
});

export type Limits = z.infer<typeof limitsSchema>;
