import { closeSync, openSync, writeSync } from 'node:fs';

/** A text file that grows by lines. */
export interface LineFile {
  readonly add: (line: string) => void;
  /** Writes what is left. @returns how many lines the file has */
  readonly close: () => number;
}

const ENOUGH = 1 << 20;

export function lineFile(path: string): LineFile {
  const file = openSync(path, 'w');
  let waiting = '';
  let count = 0;
  const flush = (): void => {
    writeSync(file, waiting);
    waiting = '';
  };
  return {
    add: (line) => {
      waiting += `${line}\n`;
      count += 1;
      if (waiting.length > ENOUGH) flush();
    },
    close: () => {
      flush();
      closeSync(file);
      return count;
    },
  };
}
