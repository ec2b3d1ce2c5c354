import type { PlantParts } from './plant-parts.js';
import { type Finding, error, warning } from './problem.js';

/** Time step on which indicators are evaluated, s. */
const gridS = 1;

/** Alarm limits that cannot work as meant. */
export function checkLimits({ limits }: PlantParts): readonly Finding[] {
  if (limits === undefined) return [];
  const { edgeRisk, nipBounce, latenessAllowedS } = limits;
  const findings: Finding[] = [];
  if (edgeRisk.reached === 0) {
    findings.push(
      error(['limits', 'edgeRisk', 'reached'], '0', 'more than 0: a risk of 0 is always reached'),
    );
  } else if (edgeRisk.deadband >= edgeRisk.reached) {
    findings.push(
      error(
        ['limits', 'edgeRisk', 'deadband'],
        `${edgeRisk.deadband}`,
        `less than reached, ${edgeRisk.reached}: a risk never falls below 0, so the alarm would never clear`,
      ),
    );
  }
  if (nipBounce.deadbandRatio === 1) {
    findings.push(
      error(
        ['limits', 'nipBounce', 'deadbandRatio'],
        '1',
        'less than 1: the indicator never falls below 0, so the alarm would never clear',
      ),
    );
  }
  const detectionS = gridS + latenessAllowedS;
  const neededS = detectionS + edgeRisk.onDelayS + edgeRisk.responseS;
  if (neededS >= edgeRisk.lookAheadS) {
    findings.push(
      warning(
        ['limits', 'edgeRisk', 'lookAheadS'],
        `${edgeRisk.lookAheadS}`,
        `more than ${neededS} s (detection ${detectionS} s, onDelayS ${edgeRisk.onDelayS} s and responseS ${edgeRisk.responseS} s): the alarm would come too late to act on`,
      ),
    );
  }
  return findings;
}
