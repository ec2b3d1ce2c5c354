import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { type FinishedRoll, rollName } from '../people/finished-roll.js';
import { gatherRoll, NO_PARTS } from '../people/finished-rolls.js';
import { peopleSay } from '../people/people-say.js';
import { drawRoll } from '../picture/draw-roll.js';
import { rollEdgesOf } from '../picture/roll-edges-of.js';
import type { Run } from '../run.js';
import type { TruthRecord } from '../truth/truth-record.js';
import { lineFile } from './line-file.js';

/** Follows each roll to its end, then writes what people say of it (`people.jsonl`) and its picture (`rolls/*.svg`). */
export function rollWriter(
  { scenario, seed }: Pick<Run, 'scenario' | 'seed'>,
  directory: string,
): { readonly add: (truth: TruthRecord) => void; readonly close: () => { people: number; rolls: number } } {
  const people = lineFile(join(directory, 'people.jsonl'));
  mkdirSync(join(directory, 'rolls'), { recursive: true });
  let parts = NO_PARTS;
  let rolls = 0;
  const finish = (finished: FinishedRoll): void => {
    rolls += 1;
    for (const said of peopleSay(scenario.people ?? {}, finished, seed)) people.add(JSON.stringify(said));
    const file = `${rollName(finished).replaceAll('/', '-')}.svg`;
    writeFileSync(join(directory, 'rolls', file), drawRoll(rollEdgesOf(finished, scenario.truth.roughEdgeM)));
  };
  return {
    add: (truth) => {
      const gathered = gatherRoll(scenario, parts, truth);
      parts = gathered.parts;
      if (gathered.finished !== null) finish(gathered.finished);
    },
    close: () => ({ people: people.close(), rolls }),
  };
}
