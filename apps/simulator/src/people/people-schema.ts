import { z } from 'zod';
import { between, ratio } from '../scenario/fields.js';

const graderSchema = z
  .strictObject({
    bothEndsChance: ratio(0, 1, 'Chance that the grader looks at both edges of a roll').default(0.6),
    oneEndChance: ratio(
      0,
      1,
      'Chance that only one edge is looked at; the rest is not graded at all',
    ).default(0.3),
    goodBelowM: between(1e-6, 0.05, 'm', 'Edge roughness below which a steady eye says good').default(1e-4),
    acceptableBelowM: between(1e-6, 0.05, 'm', 'Below this: acceptable').default(2e-4),
    poorBelowM: between(1e-6, 0.05, 'm', 'Below this: poor; above: rejected').default(5e-4),
    worstShareRatio: ratio(
      0.001,
      0.5,
      'Share of the edge that may be rougher than what the eye takes for the roughness',
    ).default(0.05),
    raterSpread: ratio(0, 1, 'Standard deviation, as logarithm, of a habit that stays all run').default(0.1),
    repeatSpread: ratio(0, 1, 'Standard deviation, as logarithm, between two looks at one edge').default(0.2),
    afterS: between(0, 1e6, 's', 'Longest time from the end of a roll to its grading').default(3600),
  })
  .describe('Somebody who looks at the edges of finished rolls and rates them');

const surveySchema = z
  .strictObject({
    everyRolls: z.number().int().min(1).max(1e6).describe('One wrap of every so many rolls').default(1),
    places: z.number().int().min(2).max(2000).describe('Places across the web, edge to edge').default(21),
    readingErrorM: between(0, 1e-4, 'm', 'Standard deviation of one reading').default(0.3e-6),
    biasM: between(-1e-4, 1e-4, 'm', 'What the gauge always reads too much').default(0),
    quantumM: between(0, 1e-4, 'm', 'Smallest step of the gauge; 0: none').default(1e-7),
    afterS: between(0, 1e6, 's', 'Longest time from the end of the roll').default(7200),
  })
  .describe('A caliper survey across one wrap');

const ringSchema = z
  .strictObject({
    everyRolls: z.number().int().min(1).max(1e6).describe('Rings of every so many rolls are read').default(1),
    visibleM: between(1e-6, 0.05, 'm', 'Edge roughness from which a ring can be seen').default(1e-4),
    widestM: between(1e-4, 0.5, 'm', 'A rough zone wider than this is no ring').default(0.02),
    missingChance: ratio(0, 1, 'Chance that a visible ring is overlooked').default(0.1),
    falsePerRoll: between(0, 50, '1', 'Expected number of rings read that are not there').default(0.3),
    readingErrorM: between(0, 0.05, 'm', 'Standard deviation of a radius read off a ruler').default(0.5e-3),
    quantumM: between(0, 0.05, 'm', 'Smallest step of the ruler; 0: none').default(0.5e-3),
    afterS: between(0, 1e6, 's', 'Longest time from the end of the roll').default(7200),
  })
  .describe('Somebody who reads the radii of rings off both edges');

const remeasureSchema = z
  .strictObject({
    everyRolls: z.number().int().min(1).max(1e6).describe('Every so many rolls').default(1),
    afterS: between(0, 1e7, 's', 'Time from the end of the roll').default(86400),
    readingErrorM: between(0, 0.05, 'm', 'Standard deviation of a diameter read off a tape').default(0.5e-3),
    quantumM: between(0, 0.05, 'm', 'Smallest step of the tape; 0: none').default(0.5e-3),
  })
  .describe('The finished diameter, measured again later');

/** People who look at finished rolls: what they report is not what is so. Each section left out: nobody does that. */
export const peopleSchema = z
  .strictObject({
    grader: graderSchema.optional(),
    caliperSurvey: surveySchema.optional(),
    rings: ringSchema.optional(),
    remeasured: remeasureSchema.optional(),
  })
  .describe('People who look at finished rolls');

export type People = z.infer<typeof peopleSchema>;
export type Grader = NonNullable<People['grader']>;
export type CaliperSurveyPlan = NonNullable<People['caliperSurvey']>;
export type RingPlan = NonNullable<People['rings']>;
export type RemeasurePlan = NonNullable<People['remeasured']>;
