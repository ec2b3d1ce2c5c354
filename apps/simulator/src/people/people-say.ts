import type { FinishedRoll } from './finished-roll.js';
import { gradeEdges } from './grade-edges.js';
import type { PeopleRecord } from './people-record.js';
import type { People } from './people-schema.js';
import { readRings } from './read-rings.js';
import { remeasureDiameter } from './remeasure-diameter.js';
import { surveyCaliper } from './survey-caliper.js';

/**
 * What people say of one finished roll, in order of time. Each roll draws from streams of its own, so that who looks at one
 * roll changes nothing about the next.
 * @param seed the run's, 0 to 4294967295
 */
export function peopleSay(people: People, finished: FinishedRoll, seed: number): readonly PeopleRecord[] {
  const { grader, caliperSurvey, rings, remeasured } = people;
  const isDue = (plan: { readonly everyRolls: number }): boolean =>
    finished.roll.roll % plan.everyRolls === 0;
  const said: readonly PeopleRecord[] = [
    ...(grader === undefined ? [] : gradeEdges(grader, finished, seed)),
    ...(caliperSurvey !== undefined && isDue(caliperSurvey)
      ? [surveyCaliper(caliperSurvey, finished, seed)]
      : []),
    ...(rings !== undefined && isDue(rings) ? readRings(rings, finished, seed) : []),
    ...(remeasured !== undefined && isDue(remeasured) ? [remeasureDiameter(remeasured, finished, seed)] : []),
  ];
  return [...said].sort((a, b) => a.atMs - b.atMs);
}
