import type { Command } from '../command.js';
import { lineOf } from './copy-error.js';

interface CopyRun<Asked> {
  readonly usage: string;
  /** What was asked for; throws, or says in words what is missing. */
  readonly read: (args: string[]) => Asked | string;
  /** Does it; the lines to tell. */
  readonly work: (asked: Asked) => Promise<readonly string[]>;
  /** How a refusal begins. */
  readonly refusal: string;
}

/** The frame of the commands that copy data: exit code 0 when it is done, 1 when it was refused with its reason, 2 wrongly called. */
export function copyRun<Asked>({ usage, read, work, refusal }: CopyRun<Asked>): Command['run'] {
  return async (args, io) => {
    const asked = askedFor(read, args);
    if (typeof asked === 'string') {
      io.stderr(`${asked}\n${usage}\n`);
      return 2;
    }
    // It holds what people's passwords are checked with: for the owner's eyes only.
    process.umask(0o077);
    try {
      for (const line of await work(asked)) io.stdout(`${line}\n`);
      return 0;
    } catch (error) {
      const line = lineOf(error);
      if (line === undefined) throw error;
      io.stderr(`${refusal}: ${line}\n`);
      return 1;
    }
  };
}

function askedFor<Asked>(read: CopyRun<Asked>['read'], args: readonly string[]): Asked | string {
  try {
    return read([...args]);
  } catch (thrown) {
    return thrown instanceof Error ? thrown.message : String(thrown);
  }
}
